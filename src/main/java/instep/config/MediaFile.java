package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Sequence;
import instep.cutlist.MediaList;
import instep.cutlist.MediaList.Files;
import instep.cutlist.MediaList.Held;
import instep.cutlist.MediaList.InTake;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Reads the file in which {@code match} has written down which recorded files show which angle, and which a person may have corrected: all of it or, if anything is wrong with it, none.
 * {@link MediaText} writes it.
 */
public final class MediaFile {
    static final List<String> KEYS = List.of("media", "takes");
    static final List<String> TAKE = List.of("take", "day", "rate", "from", "angles");
    static final List<String> ANGLE = List.of("proxy", "original");
    static final List<String> FILE = List.of("file", "start", "frames", "at");
    /** A week at the highest rate. */
    private static final long MOST_FRAMES = 7L * 86_400 * 60;

    private final Faults faults;
    private final Scalars scalars;

    private MediaFile(SourceText source) {
        faults = new Faults(source);
        scalars = new Scalars(faults, FrameRate.R25);
    }

    /** Reads a file; throws with all faults at once, and also if it cannot be read. */
    public static MediaList read(Path file) throws ConfigException {
        SourceText source = new SourceText(file.toString(), SourceFile.text(file, "a list of media"));
        MediaFile reader = new MediaFile(source);
        Optional<MediaList> list = YamlTree.read(
                        source, new YamlLimits(), reader.faults, "a list of media that begins with \"media: 1\"")
                .map(reader::list);
        if (list.isPresent() && reader.faults.isEmpty()) {
            return list.get();
        }
        throw new ConfigException(reader.faults.inOrder());
    }

    private MediaList list(Node tree) {
        Fields root = Fields.of(tree.place(), "the list of media", tree, KEYS, scalars);
        Node version = root.require("media", "expected the version of its form, media: 1");
        if (version != null && !scalars.text(version, "1", "1").equals("1")) {
            scalars.expected(version, "1, the version of the form that this program reads");
        }
        List<InTake> takes = new ArrayList<>();
        for (Node take : items(root, "takes", "a list of takes")) {
            takes.add(take(take));
        }
        return new MediaList(takes);
    }

    private List<Node> items(Fields fields, String key, String what) {
        Node node = fields.get(key);
        if (node == null || (node instanceof Node.Scalar scalar && scalar.isNull())) {
            return List.of();
        }
        if (node instanceof Sequence list) {
            return list.items();
        }
        scalars.expected(node, what);
        return List.of();
    }

    private InTake take(Node node) {
        Fields fields = Fields.of(node.place(), "the take", node, TAKE, scalars);
        Node number = fields.require("take", "expected its number");
        Node day = fields.require("day", "expected the day on which it began, such as 2026-03-02");
        fields.require("rate", "expected the frame rate of the journal");
        FrameRate rate = fields.word("rate", TimecodeReader.RATES, FrameRate.R25);
        Node from = fields.require("from", "expected the label of its first frame");
        Timecode none = new Timecode(rate, 0);
        Map<String, Files> angles = new LinkedHashMap<>();
        Node all = fields.get("angles");
        for (Entry angle : all instanceof Mapping ? Fields.named("angle", all, scalars) : List.<Entry>of()) {
            angles.put(angle.name(), files(angle, rate));
        }
        if (all != null && !(all instanceof Mapping)) {
            scalars.expected(all, "a map with a name for each angle");
        }
        return new InTake(
                number == null ? 0 : scalars.integer(number, 0, 999_999_999, 0),
                day == null ? "" : day(day),
                rate,
                from == null ? none : TimecodeReader.label(from, rate, scalars).orElse(none),
                angles);
    }

    private String day(Node node) {
        String day = scalars.text(node, "a day such as 2026-03-02", "");
        if (!day.isEmpty() && !day.matches("[0-9]{4}-[0-9]{2}-[0-9]{2}")) {
            scalars.expected(node, "a day such as 2026-03-02");
        }
        return day;
    }

    private Files files(Entry angle, FrameRate rate) {
        if (angle.value() instanceof Node.Scalar scalar && scalar.isNull()) {
            return new Files(List.of(), List.of());
        }
        String what = "the angle " + Words.quote(angle.name());
        Fields fields = Fields.of(angle.place(), what, angle.value(), ANGLE, scalars);
        return new Files(held(fields, "proxy", rate), held(fields, "original", rate));
    }

    private List<Held> held(Fields angle, String sort, FrameRate rate) {
        List<Held> files = new ArrayList<>();
        for (Node node : items(angle, sort, "a list of files")) {
            Fields fields = Fields.of(node.place(), "the file", node, FILE, scalars);
            Node file = fields.require("file", "expected its path");
            Node start = fields.require("start", "expected its own label of its first frame");
            Node frames = fields.require("frames", "expected how many it has");
            Node at = fields.get("at");
            Timecode none = new Timecode(rate, 0);
            Timecode first = start == null
                    ? none
                    : TimecodeReader.label(start, rate, scalars).orElse(none);
            files.add(new Held(
                    file == null
                            ? ""
                            : Paths.read(file, scalars)
                                    .toAbsolutePath()
                                    .normalize()
                                    .toString(),
                    first,
                    at == null ? first : TimecodeReader.label(at, rate, scalars).orElse(first),
                    frames == null ? 1 : scalars.integer(frames, 1, MOST_FRAMES, 1)));
        }
        return files;
    }
}
