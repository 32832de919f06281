package instep.config;

import instep.config.ConfigException.Fault;
import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.desk.DeskSettings;
import instep.gear.GearSettings;
import instep.gear.Message;
import instep.gesture.Timing;
import instep.input.PedalSettings;
import instep.machine.Chart;
import instep.machine.StateNode;
import instep.machine.Variable;
import instep.machine.Vocabulary;
import instep.time.FrameRate;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Reads a configuration of one file or of several that lie over each other: all of it or, if anything is wrong with it, none, with every fault named at its place. Not bound to a thread;
 * blocks on the file.
 */
public final class ConfigReader {
    static final List<String> KEYS = List.of(
            "instep",
            "timecode",
            "gear",
            "angles",
            "messages",
            "pedals",
            "timing",
            "data",
            "machine",
            "journal",
            "desk",
            "reload",
            "after-crash",
            "cutlist");
    private static final String VERSION = "1";
    /** An earlier run had left a take open, and it goes on; the disk does not take the journal, or does again. */
    private static final List<String> OWN_EVENTS = List.of("take.resumed", "journal.failing", "journal.back");
    /** What comes before the dot of Instep's own events. */
    static final String JOURNAL = "journal";

    static final Map<String, Running.Reload> RELOADS =
            words("after-take", Running.Reload.AFTER_TAKE, "at-once", Running.Reload.AT_ONCE);
    static final Map<String, Running.AfterCrash> AFTER_CRASH =
            words("resume", Running.AfterCrash.RESUME, "home", Running.AfterCrash.HOME);

    private final Sources sources;
    private final Faults faults;
    private final KeyCodes codes;
    private final Overlay overlay = new Overlay();

    private static <T> Map<String, T> words(String one, T first, String other, T second) {
        Map<String, T> words = new LinkedHashMap<>();
        words.put(one, first);
        words.put(other, second);
        return words;
    }

    private ConfigReader(Sources sources, KeyCodes codes) {
        this.sources = sources;
        this.faults = new Faults(sources);
        this.codes = codes;
    }

    /**
     * Reads and checks files, each laid over those before it, with the kernel's names of keys; throws with all faults at once, and also if one
     * cannot be read.
     */
    public static Settings read(List<Path> files) throws ConfigException {
        return read(files, new KernelKeyCodes());
    }

    /** Reads and checks a file, with the kernel's names of keys; throws with all faults at once, and also if the file cannot be read. */
    public static Settings read(Path file) throws ConfigException {
        return read(List.of(file));
    }

    /** Checks a text that came from {@code file}, with the kernel's names of keys. */
    public static Settings parse(String file, String text) throws ConfigException {
        return parse(file, text, new KernelKeyCodes());
    }

    /** Reads and checks a file; throws with all faults at once, and also if the file cannot be read. */
    public static Settings read(Path file, KeyCodes codes) throws ConfigException {
        return read(List.of(file), codes);
    }

    /** Reads and checks files, each laid over those before it; throws with all faults at once, and also if one cannot be read. */
    public static Settings read(List<Path> files, KeyCodes codes) throws ConfigException {
        List<SourceText> texts = new ArrayList<>();
        List<Fault> unreadable = new ArrayList<>();
        for (Path file : files) {
            try {
                texts.addAll(Sources.of(file.toString(), SourceFile.text(file, "a configuration"))
                        .texts());
            } catch (ConfigException e) {
                unreadable.addAll(e.faults());
            }
        }
        if (!unreadable.isEmpty()) {
            throw new ConfigException(unreadable);
        }
        return read(new Sources(texts), codes);
    }

    /**
     * Checks a text that came from {@code file}, or the text of several files as {@link Settings#text} gives it.
     *
     * @param file as the user named it; paths in the text start from its folder
     */
    public static Settings parse(String file, String text, KeyCodes codes) throws ConfigException {
        return read(Sources.of(file, text), codes);
    }

    private static Settings read(Sources sources, KeyCodes codes) throws ConfigException {
        ConfigReader reader = new ConfigReader(sources, codes);
        Optional<Settings> settings = reader.tree().flatMap(reader::settings);
        if (settings.isPresent() && reader.faults.isEmpty()) {
            return settings.get();
        }
        throw new ConfigException(reader.faults.inOrder());
    }

    /** All files as one tree; empty if one of them is none. */
    private Optional<Node> tree() {
        List<Node> trees = new ArrayList<>();
        YamlLimits limits = new YamlLimits();
        for (SourceText source : sources.texts()) {
            YamlTree.read(source, limits, faults, "a configuration that begins with \"instep: 1\"")
                    .ifPresent(trees::add);
        }
        if (trees.size() < sources.texts().size()) {
            return Optional.empty();
        }
        Node all = trees.get(0);
        for (Node over : trees.subList(1, trees.size())) {
            all = lay(over, all);
        }
        return Optional.of(all);
    }

    private Node lay(Node over, Node base) {
        Scalars plain = new Scalars(faults, FrameRate.R25);
        if (!(over instanceof Mapping map)) {
            plain.expected(over, "a map with the keys that this file overrides");
            return base;
        }
        if (!(base instanceof Mapping below)) {
            return base;
        }
        // The file below may be in another version of the language, which must not go unseen.
        below.entries().stream()
                .filter(entry -> entry.name().equals("instep"))
                .forEach(entry -> version(entry.value(), plain));
        return overlay.lay(map, below);
    }

    private Optional<Settings> settings(Node tree) {
        Scalars plain = new Scalars(faults, FrameRate.R25);
        Fields root = Fields.of(tree.place(), "the configuration", tree, KEYS, plain);
        Node version = root.require("instep", "expected the version of the language, instep: 1");
        if (version != null) {
            version(version, plain);
        }
        root.require("timecode", "expected the frame rate, such as timecode: { rate: 25 }");
        root.require("machine", "expected its states");
        TimecodeSettings timecode = TimecodeReader.read(root.entry("timecode"), plain);
        Scope scope = new Scope(new Scalars(faults, timecode.rate()));
        if (root.isBroken()) {
            scope.leaveOpen();
        }
        return sections(root, timecode, scope);
    }

    private static void version(Node version, Scalars scalars) {
        if (!scalars.text(version, "1", VERSION).equals(VERSION)) {
            scalars.expected(version, "1, the version of the language that this program reads");
        }
    }

    private Optional<Settings> sections(Fields root, TimecodeSettings timecode, Scope scope) {
        GearReader rack = new GearReader(scope);
        List<GearSettings> read = rack.read(root.get("gear"));
        TimecodeReader.checkGear(root.entry("timecode"), scope, rack::tellsTimecode);
        MessageReader messages = new MessageReader(scope);
        List<AngleSettings> angles = new AngleReader(scope, messages).read(root.get("angles"));
        messages.read(root.get("messages"));
        Timing timing = TimingReader.section(root.entry("timing"), scope.scalars());
        PedalReader pedals = new PedalReader(scope, codes, timing, messages);
        List<PedalSettings> units = pedals.read(root.get("pedals"));
        TimecodeReader.checkPedals(root.entry("timecode"), timecode, units, scope.faults());
        List<GearSettings> gear = rack.withDevices(read, units);
        JournalPlace journal = JournalPlaceReader.read(root.entry("journal"), scope.scalars());
        DeskSettings desk = DeskReader.read(root.entry("desk"), scope.scalars());
        Running running = new Running(
                root.word("reload", RELOADS, Running.USUAL.reload()),
                root.word("after-crash", AFTER_CRASH, Running.USUAL.afterCrash()));
        List<Variable> data = new DataReader(scope).read(root.get("data"));
        CutlistSettings cutlist = new CutlistReader(scope).read(root.entry("cutlist"));
        Entry machine = root.entry("machine");
        if (machine == null) {
            scope.leaveOpen();
            scope.reportMissing();
            return Optional.empty();
        }
        MachineScan scan = MachineScan.of(machine.value());
        scope.declareValues(scan.variables());
        Set<String> events = new LinkedHashSet<>(scan.events());
        events.addAll(scope.replies().events());
        events.addAll(timecode.events());
        events.addAll(OWN_EVENTS);
        Vocabulary vocabulary =
                Vocabulary.of(pedals.contacts(), scope.gear().all(), List.copyOf(events), timecode.rate());
        StateNode states = new MachineReader(scope, messages, vocabulary).read(machine);
        scope.reportMissing();
        List<Message> all = messages.messages();
        ChartReader charts = new ChartReader(scope, vocabulary, all);
        Optional<Chart> chart = charts.read(
                states, Declarations.of(data, states, scope.replies().variables()));
        return chart.map(c -> new Settings(
                sources.file(),
                sources.text(),
                timecode,
                gear,
                GearSecrets.told(
                        gear, rack.listening(), angles, all, scope.scalars().secrets()),
                angles,
                all,
                units,
                pedals.contacts(),
                vocabulary,
                c,
                cutlist,
                journal,
                desk,
                running,
                overlay.overridden()));
    }
}
