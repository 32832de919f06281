package instep.config;

import instep.config.Node.Entry;
import instep.gear.GearSettings;
import instep.gear.Message;
import instep.gesture.Timing;
import instep.input.PedalSettings;
import instep.machine.Chart;
import instep.machine.InvalidChartException;
import instep.machine.StateNode;
import instep.machine.Vocabulary;
import instep.time.FrameRate;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Reads a configuration: all of it or, if anything is wrong with it, none, with every fault named at its place. Not bound to a thread;
 * blocks on the file.
 */
public final class ConfigReader {
    private static final List<String> KEYS =
            List.of("instep", "timecode", "gear", "angles", "messages", "pedals", "timing", "machine", "journal");
    private static final String VERSION = "1";

    private final SourceText source;
    private final Faults faults;
    private final KeyCodes codes;
    private final Path folder;

    private ConfigReader(SourceText source, KeyCodes codes) {
        this.source = source;
        this.faults = new Faults(source);
        this.codes = codes;
        this.folder = folder(source.file());
    }

    /** Reads and checks a file, with the kernel's names of keys; throws with all faults at once, and also if the file cannot be read. */
    public static Settings read(Path file) throws ConfigException {
        return read(file, new KernelKeyCodes());
    }

    /** Checks a text that came from {@code file}, with the kernel's names of keys. */
    public static Settings parse(String file, String text) throws ConfigException {
        return parse(file, text, new KernelKeyCodes());
    }

    /** Reads and checks a file; throws with all faults at once, and also if the file cannot be read. */
    public static Settings read(Path file, KeyCodes codes) throws ConfigException {
        return parse(file.toString(), SourceFile.text(file), codes);
    }

    /**
     * Checks a text that came from {@code file}.
     *
     * @param file as the user named it; paths in the text start from its folder
     */
    public static Settings parse(String file, String text, KeyCodes codes) throws ConfigException {
        String marked = text.startsWith("\ufeff") ? text.substring(1) : text;
        ConfigReader reader = new ConfigReader(new SourceText(file, marked), codes);
        Optional<Settings> settings = reader.settings();
        if (settings.isPresent() && reader.faults.isEmpty()) {
            return settings.get();
        }
        throw new ConfigException(reader.faults.inOrder());
    }

    private static Path folder(String file) {
        Path here = Path.of("");
        try {
            return Optional.ofNullable(Path.of(file).getParent()).orElse(here);
        } catch (InvalidPathException e) {
            return here;
        }
    }

    private Optional<Settings> settings() {
        Optional<Node> tree = YamlTree.read(source, faults);
        return tree.flatMap(this::settings);
    }

    private Optional<Settings> settings(Node tree) {
        Scalars plain = new Scalars(faults, FrameRate.R25);
        Fields root = Fields.of(tree.place(), "the configuration", tree, KEYS, plain);
        version(root, plain);
        root.require("timecode", "expected the frame rate, such as timecode: { rate: 25 }");
        root.require("machine", "expected its states");
        TimecodeSettings timecode = TimecodeReader.read(root.entry("timecode"), plain);
        Scope scope = new Scope(new Scalars(faults, timecode.rate()));
        if (root.isBroken()) {
            scope.leaveOpen();
        }
        return sections(root, timecode, scope);
    }

    private void version(Fields root, Scalars scalars) {
        Node version = root.require("instep", "expected the version of the language, instep: 1");
        if (version != null && !scalars.text(version, "1", VERSION).equals(VERSION)) {
            scalars.expected(version, "1, the version of the language that this program reads");
        }
    }

    private Optional<Settings> sections(Fields root, TimecodeSettings timecode, Scope scope) {
        List<GearSettings> gear = new GearReader(scope, folder).read(root.get("gear"));
        MessageReader messages = new MessageReader(scope);
        List<AngleSettings> angles = new AngleReader(scope, messages).read(root.get("angles"));
        messages.read(root.get("messages"));
        Timing timing = TimingReader.section(root.entry("timing"), scope.scalars());
        PedalReader pedals = new PedalReader(scope, codes, timing, folder);
        List<PedalSettings> units = pedals.read(root.get("pedals"));
        Path journal = journal(root.entry("journal"), scope.scalars());
        Entry machine = root.entry("machine");
        if (machine == null) {
            scope.leaveOpen();
            scope.reportMissing();
            return Optional.empty();
        }
        MachineScan scan = MachineScan.of(machine.value());
        scope.declareValues(scan.variables());
        Vocabulary vocabulary =
                Vocabulary.of(pedals.contacts(), scope.gear().all(), List.copyOf(scan.events()), timecode.rate());
        int before = faults.count();
        StateNode states = new MachineReader(scope, messages, vocabulary).read(machine);
        scope.reportMissing();
        List<Message> all = messages.messages();
        List<String> names = all.stream().map(Message::name).toList();
        Optional<Chart> chart = faults.count() == before
                ? chart(states, vocabulary, scope.angles().all(), names)
                : Optional.empty();
        return chart.map(c -> new Settings(
                source.file(),
                source.text(),
                timecode,
                gear,
                angles,
                all,
                units,
                pedals.contacts(),
                vocabulary,
                c,
                journal));
    }

    private Optional<Chart> chart(StateNode states, Vocabulary vocabulary, List<String> angles, List<String> messages) {
        try {
            return Optional.of(Chart.of(states, vocabulary, angles, messages, Declarations.of(states)));
        } catch (InvalidChartException e) {
            e.faults().forEach(f -> faults.add(f.place(), f.text()));
            return Optional.empty();
        }
    }

    private @Nullable Path journal(@Nullable Entry section, Scalars scalars) {
        if (section == null) {
            return null;
        }
        Fields fields = Fields.of(section.place(), "journal", section.value(), List.of("folder"), scalars);
        Node path = fields.get("folder");
        return path == null ? null : Paths.read(path, folder, scalars);
    }
}
