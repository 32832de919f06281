package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Sequence;
import instep.cutlist.Layout;
import instep.cutlist.Media;
import instep.cutlist.Refinements;
import instep.cutlist.Retake;
import instep.cutlist.Sound;
import instep.machine.Template;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Reads {@code cutlist}: how what the foot decided becomes what is given to an editing program. */
final class CutlistReader {
    static final List<String> KEYS = List.of(
            "lead",
            "minimum-shot",
            "merge-within",
            "retake",
            "snap",
            "head",
            "tail",
            "handles",
            "start",
            "sound",
            "prefer",
            "proxy",
            "original");
    static final List<String> LEAD = List.of("going", "returning");
    static final List<String> RETAKE = List.of("passage", "since", "at-most");
    static final List<String> SNAP = List.of("sound", "within", "pause", "below");
    /** Values that there are in the name of the sound that is listened to. */
    static final List<String> SNAP_VALUES = List.of("take", "day");

    static final Map<String, Retake.Fate> FATES = new LinkedHashMap<>();
    static final Map<String, Retake.CleanPoint> CLEAN_POINTS = new LinkedHashMap<>();
    static final Map<String, Media> MEDIA = new LinkedHashMap<>();
    /** Values that there are in names of files. */
    static final List<String> VALUES = List.of("angle", "reel", "take", "day");
    /** Sound that is cut with the pictures. */
    static final String FOLLOWS = "follows";

    static {
        FATES.put("keep", Retake.Fate.KEEP);
        FATES.put("flag", Retake.Fate.FLAG);
        FATES.put("drop", Retake.Fate.DROP);
        CLEAN_POINTS.put("cut", Retake.CleanPoint.CUT);
        CLEAN_POINTS.put("clean", Retake.CleanPoint.CLEAN);
        CLEAN_POINTS.put("chapter", Retake.CleanPoint.CHAPTER);
        MEDIA.put("proxy", Media.PROXY);
        MEDIA.put("original", Media.ORIGINAL);
    }

    private final Scope scope;
    private final Scalars scalars;
    private final FrameRate rate;

    CutlistReader(Scope scope) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.rate = scalars.rate();
    }

    CutlistSettings read(@Nullable Entry section) {
        CutlistSettings none = CutlistSettings.none(rate);
        if (section == null) {
            return none;
        }
        Fields fields = Fields.of(section.place(), "cutlist", section.value(), KEYS, scalars);
        Node start = fields.get("start");
        Layout layout = new Layout(
                rate,
                start == null
                        ? none.layout().start()
                        : label(start, none.layout().start()),
                frames(fields, "handles"),
                fields.word("prefer", MEDIA, Media.ORIGINAL),
                sound(fields.get("sound")));
        return new CutlistSettings(
                refinements(fields),
                layout,
                snap(fields.get("snap")),
                pattern(fields, "proxy", VALUES),
                pattern(fields, "original", VALUES));
    }

    private long label(Node node, long otherwise) {
        return TimecodeReader.label(node, rate, scalars).map(Timecode::frame).orElse(otherwise);
    }

    private Refinements refinements(Fields fields) {
        Node lead = fields.get("lead");
        boolean two = lead instanceof Mapping;
        Fields leads = two && lead != null ? Fields.of(lead.place(), "lead", lead, LEAD, scalars) : fields;
        return new Refinements(
                frames(leads, two ? "going" : "lead"),
                frames(leads, two ? "returning" : "lead"),
                frames(fields, "minimum-shot"),
                frames(fields, "merge-within"),
                retake(fields.get("retake")),
                frames(fields, "head"),
                frames(fields, "tail"));
    }

    private long frames(Fields fields, String key) {
        return rate.frameAt(fields.nanos(key, 0));
    }

    private Retake retake(@Nullable Node node) {
        if (node == null) {
            return Retake.NONE;
        }
        if (!(node instanceof Mapping)) {
            return new Retake(scalars.word(node, FATES, Retake.Fate.KEEP), Retake.NONE.since(), 0);
        }
        Fields fields = Fields.of(node.place(), "retake", node, RETAKE, scalars);
        fields.require("passage", "expected " + Words.either(FATES.keySet()));
        Retake.Fate fate = fields.word("passage", FATES, Retake.Fate.KEEP);
        return new Retake(fate, since(fields.get("since")), frames(fields, "at-most"));
    }

    private Set<Retake.CleanPoint> since(@Nullable Node node) {
        if (node == null) {
            return Retake.NONE.since();
        }
        Set<Retake.CleanPoint> points = new LinkedHashSet<>();
        List<Node> items = node instanceof Sequence list ? list.items() : List.of(node);
        items.forEach(item -> points.add(scalars.word(item, CLEAN_POINTS, Retake.CleanPoint.CUT)));
        return points;
    }

    private SnapSettings snap(@Nullable Node node) {
        if (node == null) {
            return SnapSettings.NONE;
        }
        Fields fields = Fields.of(node.place(), "snap", node, SNAP, scalars);
        fields.require("sound", "expected the name of a file with the sound of a take");
        Node below = fields.get("below");
        return new SnapSettings(
                pattern(fields, "sound", SNAP_VALUES),
                rate.frameAt(fields.nanos("within", SnapSettings.WITHIN)),
                fields.nanos("pause", SnapSettings.PAUSE),
                below == null ? SnapSettings.BELOW : (int) scalars.integer(below, -90, -1, SnapSettings.BELOW));
    }

    private Sound sound(@Nullable Node node) {
        if (node == null) {
            return Sound.NONE;
        }
        String word = scalars.text(node, FOLLOWS + " or the name of an angle", "");
        if (word.isEmpty() || word.equals(FOLLOWS)) {
            return word.isEmpty() ? Sound.NONE : Sound.FOLLOWS;
        }
        scope.angles().refer(word, node.place());
        return Sound.of(word);
    }

    private String pattern(Fields fields, String key, List<String> values) {
        Node node = fields.get(key);
        String pattern = fields.text(key, "the name of a file", "");
        for (String name : Template.parse(pattern).names()) {
            if (node != null && !values.contains(name)) {
                scope.faults()
                        .add(
                                node.place(),
                                "unknown value " + Words.quote(name) + " in the name of a file"
                                        + Words.hint(name, values, scope.faults()));
            }
        }
        return pattern;
    }
}
