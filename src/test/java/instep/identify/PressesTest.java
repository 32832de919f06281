package instep.identify;

import static org.assertj.core.api.Assertions.assertThat;

import instep.advice.CheckAdvice;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.input.Inventory.Device;
import instep.input.Inventory.Reading;
import instep.input.PedalSettings.MidiSignal;
import instep.input.Performance;
import instep.input.Signal;
import instep.input.hid.Usage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.yaml.snakeyaml.Yaml;

/** What comes of signals: contacts, their lines, a first configuration, a performance. */
class PressesTest {
    private static final long MILLI = 1_000_000L;
    // linux/input-event-codes.h: KEY_B 48, BTN_TRIGGER 0x120, ABS_Z 2, ABS_HAT0X 16, REL_DIAL 7
    private static final Signal.Key KEY = new Signal.Key(48);
    private static final Signal.Key BUTTON = new Signal.Key(0x120);
    private static final Signal.Axis AXIS = new Signal.Axis(2);
    private static final Signal.Step DETENT = new Signal.Step(7, true);

    @TempDir
    private Path folder;

    private final ByteArrayOutputStream printed = new ByteArrayOutputStream();
    private final List<String> edges = new ArrayList<>();
    private Presses presses = new Presses(List.of());

    @BeforeEach
    void listen() {
        presses = new Presses(List.of(
                new PressedLines(new PrintStream(printed, true, StandardCharsets.UTF_8)),
                new SavedConfig(folder.resolve("first.yaml")),
                new Presses.Listener() {
                    @Override
                    public void edge(FoundContact contact, boolean closed, long nanos) {
                        edges.add(contact.name() + (closed ? " closed" : " open"));
                    }
                }));
    }

    private static Device device(String node, String name, String usb, String phys, Reading reading) {
        return new Device(Path.of("/dev", node), name, usb, phys, "", reading, "");
    }

    private Device pedal() {
        Device pedal = device("event4", "Clay Works Pedal", "1209:2303", "usb-1/input0", Reading.KEYS);
        presses.came(pedal);
        return pedal;
    }

    private void press(Device device, Signal signal, long atMillis) {
        presses.switched(device, signal, true, atMillis * MILLI);
        presses.switched(device, signal, false, (atMillis + 200) * MILLI);
    }

    private String said() {
        return printed.toString(StandardCharsets.UTF_8);
    }

    private Settings saved() throws Exception {
        return ConfigReader.read(folder.resolve("first.yaml"));
    }

    @Test
    void printsTheLinesOfAKeyAndThatItTypes() {
        Device pedal = pedal();
        press(pedal, KEY, 1_000);
        press(pedal, KEY, 2_000);
        assertThat(said()).isEqualTo("""

                # Clay Works Pedal: key: KEY_B
                # It types into whatever has the keyboard now. While instep runs, grab: true keeps that away.
                pedals:
                  floor:
                    match: { usb: "1209:2303" }
                    grab: true
                    contacts:
                      first: KEY_B
                """);
    }

    @Test
    void writesTheNotesControllersAndProgramsOfAMidiBoard() throws Exception {
        Device board = device("snd/midiC1D0", "Clay Board", "1209:b0a2", "1-2:1.0/midi0", Reading.MIDI);
        presses.came(board);
        press(board, new Signal.Midi(MidiSignal.NOTE, 1, 60), 1_000);
        Signal swell = new Signal.Midi(MidiSignal.CONTROLLER, 2, 11);
        presses.stands(board, swell, 0);
        presses.moved(board, swell, 1, 2_000 * MILLI);
        presses.moved(board, swell, 0, 2_300 * MILLI);
        Signal program = new Signal.Midi(MidiSignal.PROGRAM, 3, 0);
        presses.switched(board, program, true, 3_000 * MILLI);
        presses.switched(board, program, false, 3_000 * MILLI);
        assertThat(said()).endsWith("""
                pedals:
                  floor:
                    match: { usb: "1209:b0a2" }
                    contacts:
                      first: { note: 60, channel: 1 }
                      second: { controller: 11, channel: 2, press-above: 60%, release-below: 40% }
                      third: { program: 0, channel: 3 }
                """).doesNotContain("grab", "types into");
        assertThat(Files.readString(folder.resolve("first.yaml")))
                .contains("second.press: { angle: wheel, until: second.release }", "third.press: { mark: third }");
        assertThat(saved().contacts()).hasSize(3);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "0.0 | 1.0 | first: { axis: ABS_Z, press-above: 60%, release-below: 40% }",
                "1.0 | 0.0 | first: { axis: ABS_Z, press-below: 40%, release-above: 60% }",
                "0.5 | 1.0 | first: { axis: ABS_Z, press-above: 75%, release-below: 60% }",
                "0.5 | 0.0 | first: { axis: ABS_Z, press-below: 25%, release-above: 40% }"
            })
    void choosesTheThresholdsByWhereAnAxisRests(double rest, double pressed, String line) {
        Device pedal = pedal();
        presses.stands(pedal, AXIS, rest);
        presses.moved(pedal, AXIS, pressed, MILLI);
        presses.moved(pedal, AXIS, rest, 300 * MILLI);
        assertThat(said()).contains(line).doesNotContain("types into");
        assertThat(edges).containsExactly("first closed", "first open");
    }

    @Test
    void takesWhatMovesOnlyALittleForNoPress() {
        Device pedal = pedal();
        presses.stands(pedal, AXIS, 0.1);
        for (int i = 0; i < 20; i++) {
            presses.moved(pedal, AXIS, 0.1 + i % 3 * 0.1, i * MILLI);
        }
        assertThat(said()).isEmpty();
        assertThat(edges).isEmpty();
    }

    @Test
    void passesOverWhatWasDownBefore() {
        Device pedal = pedal();
        presses.switched(pedal, KEY, false, MILLI);
        assertThat(edges).isEmpty();
        assertThat(folder.resolve("first.yaml")).doesNotExist();
    }

    /** Bursts as published measurements of push-buttons have them, some milliseconds: the figures are invented. */
    @Test
    void saysHowAContactBouncesAndWhatCoversIt() throws Exception {
        Device pedal = pedal();
        long[] bursts = {1_000, 1_002, 1_005, 1_300, 2_000, 2_014, 2_021, 2_400};
        for (int i = 0; i < bursts.length; i++) {
            presses.switched(pedal, KEY, i % 2 == 0, bursts[i] * MILLI);
        }
        assertThat(said())
                .contains(
                        "# first bounces for up to 2.0 ms, with 2.0 ms between two edges; what it gets by itself (debounce: 8ms)")
                .contains("# first bounces for up to 21.0 ms, with 2.0 ms between two edges; give it debounce: 30ms");
        assertThat(saved().contacts().get(0).timing().debounce()).isEqualTo(30 * MILLI);
    }

    @Test
    void tellsTwinsApartByTheirPorts() throws Exception {
        Device second = device("event9", "Clay Works Pedal", "1209:2303", "usb-10/input0", Reading.KEYS);
        Device first = device("event4", "Clay Works Pedal", "1209:2303", "usb-2/input0", Reading.KEYS);
        presses.came(second);
        presses.came(first);
        press(second, KEY, 1_000);
        press(first, KEY, 2_000);
        assertThat(said())
                .contains("There are 2 of these")
                .contains("match: { usb: \"1209:2303\", phys: \"usb-10/input0\" }")
                .contains("match: { usb: \"1209:2303\", phys: \"usb-2/input0\" }");
        assertThat(saved().contacts()).extracting(Object::toString).hasSize(2);
    }

    @Test
    void countsTwinsOfWhichTheKernelSaysNoPort() {
        Device one = device("event4", "Clay Works Pedal", "1209:2303", "", Reading.KEYS);
        Device other = device("event9", "Clay Works Pedal", "1209:2303", "", Reading.KEYS);
        presses.came(one);
        presses.came(other);
        press(other, KEY, 1_000);
        assertThat(said()).contains("match: { usb: \"1209:2303\", which: 2 }");
    }

    // YAML 1.2.2, 5.1 (printable characters) and 5.7 (escaped characters); SnakeYAML reads it back
    @ParameterizedTest
    @ValueSource(
            strings = {
                "plain",
                "a \"quoted\" one",
                "back\\slash",
                "tab\there",
                "line\nand\rreturn",
                "bell\u0007 and escape \u001b[31m",
                "nul\u0000",
                "delete\u007f",
                "next line\u0085, C1 \u009b2J",
                "turned \u202e about",
                "separators \u2028 \u2029",
                "mark \ufeff",
                "no character \uffff",
                "pot \ud83c\udffa",
                "Töpferei # : { } , & * ! | > % @ `"
            })
    void savesANameThatADeviceGivesItselfAsItIs(String name) throws Exception {
        Device board = device("snd/midiC1D0", name, "", "", Reading.MIDI);
        presses.came(board);
        press(board, new Signal.Midi(MidiSignal.NOTE, 1, 60), 1_000);
        String text = Files.readString(folder.resolve("first.yaml"));
        assertThat(text.codePoints().filter(c -> c != '\n').filter(Character::isISOControl))
                .isEmpty();
        assertThat(new Yaml().<Object>load(text))
                .extracting("pedals.floor.match.name")
                .isEqualTo(name);
        assertThat(said()).doesNotContain("\u001b", "\u009b", "\u202e", "\u0007");
    }

    @Test
    void tellsTwinsApartByTheirSerialNumbersIfTheyHaveAny() {
        Device one = new Device(Path.of("/dev/a"), "Clay Works Pedal", "1209:2303", "usb-1", "A7", Reading.KEYS, "");
        Device other = new Device(Path.of("/dev/b"), "Clay Works Pedal", "1209:2303", "usb-2", "A8", Reading.KEYS, "");
        presses.came(one);
        presses.came(other);
        press(other, KEY, 1_000);
        assertThat(said()).contains("match: { usb: \"1209:2303\", serial: \"A8\" }");
    }

    @Test
    void tellsTheInterfacesOfADeviceApartByTheirNames() {
        Device keys = device("event4", "Clay Works Box", "1209:b0b1", "usb-1/input0", Reading.KEYS);
        Device media = device("event5", "Clay Works Box Consumer", "1209:b0b1", "usb-1/input1", Reading.KEYS);
        presses.came(keys);
        presses.came(media);
        press(media, KEY, 1_000);
        assertThat(said()).contains("match: { usb: \"1209:b0b1\", name: \"Clay Works Box Consumer\" }");
    }

    /** As of a device that numbers its reports in a byte of its own: none of that byte's bits is a pedal. */
    @Test
    void doesNotTakeARunningNumberForPedals() {
        Device box = device("hidraw1", "Clay Works Box", "1209:b0b0", "usb-2/input0", Reading.REPORTS);
        presses.came(box);
        for (int number = 1; number < 8; number++) {
            long nanos = number * 500L * MILLI;
            int before = number - 1;
            for (boolean closing : new boolean[] {true, false}) {
                for (int bit = 0; bit < 8; bit++) {
                    boolean is = (number >> bit & 1) != 0;
                    if (is != ((before >> bit & 1) != 0) && is == closing) {
                        presses.switched(box, new Signal.Bit(0, 7, bit), is, nanos);
                    }
                }
            }
            presses.switched(box, new Signal.Bit(0, 0, 2), number % 2 == 1, nanos);
        }
        assertThat(said()).contains("first: { byte: 0, bit: 2 }").doesNotContain("byte: 7");
        assertThat(edges).startsWith("first closed", "first open", "first closed", "first open");
    }

    @Test
    void savesAConfigurationThatIsSoundAndAsksNothing() throws Exception {
        Device pedal = pedal();
        Device box = device("hidraw1", "Clay Works \"Box\"", "1209:b0b0", "usb-2/input0", Reading.REPORTS);
        presses.came(box);
        press(pedal, KEY, 1_000);
        press(pedal, BUTTON, 2_000);
        presses.stands(pedal, AXIS, 0);
        presses.moved(pedal, AXIS, 1, 3_000 * MILLI);
        presses.moved(pedal, AXIS, 0, 3_200 * MILLI);
        presses.switched(pedal, DETENT, true, 4_000 * MILLI);
        presses.switched(pedal, DETENT, false, 4_000 * MILLI);
        press(box, new Signal.Named(new Usage(9, 3)), 5_000);
        press(box, new Signal.Named(new Usage(0xff00, 1)), 6_000);
        press(box, new Signal.Bit(2, 1, 6), 7_000);
        Settings settings = saved();
        assertThat(settings.contacts()).hasSize(7);
        assertThat(settings.pedals()).hasSize(2);
        assertThat(CheckAdvice.of(settings)).isEmpty();
        assertThat(Files.readString(folder.resolve("first.yaml")))
                .contains(
                        "fifth: { usage: \"button 3\" }",
                        "{ report: 2, byte: 1, bit: 6 }",
                        "fourth.press: { mark: fourth }");
    }

    @ParameterizedTest
    @CsvSource({"1", "2", "3", "4", "9"})
    void savesAConfigurationForAnyNumberOfPedals(int pedals) throws Exception {
        Device pedal = pedal();
        for (int i = 0; i < pedals; i++) {
            press(pedal, new Signal.Key(30 + i), 1_000L * (i + 1));
        }
        assertThat(CheckAdvice.of(saved())).isEmpty();
        assertThat(saved().contacts()).hasSize(pedals);
    }

    @Test
    void recordsAPerformanceThatCanBePlayed() throws Exception {
        Path file = folder.resolve("feet.performance");
        try (RecordedEdges recorded = new RecordedEdges(file)) {
            presses = new Presses(List.of(recorded));
            Device pedal = pedal();
            press(pedal, KEY, 70_000);
            press(pedal, BUTTON, 70_100);
        }
        assertThat(Performance.read(file).edges())
                .containsExactly(
                        new Performance.Edge(1_000 * MILLI, "first", true),
                        new Performance.Edge(1_200 * MILLI, "first", false),
                        new Performance.Edge(1_200 * MILLI, "second", true),
                        new Performance.Edge(1_300 * MILLI, "second", false));
    }

    @Test
    void neverWritesOverARecording() throws IOException {
        Path file = Files.writeString(folder.resolve("feet.performance"), "precious");
        org.assertj.core.api.Assertions.assertThatThrownBy(() -> new RecordedEdges(file))
                .isInstanceOf(java.nio.file.FileAlreadyExistsException.class);
        assertThat(file).hasContent("precious");
    }

    @Test
    void givesTheUdevLineForADeviceThatMayNotBeRead() {
        Device box = new Device(
                Path.of("/dev/hidraw1"),
                "Clay\u0007Box",
                "1209:b0b0",
                "usb-2/input0",
                "",
                Reading.REPORTS,
                "no permission on it");
        assertThat(DeviceLines.of(box))
                .contains("Clay\\u0007Box (usb 1209:b0b0, raw reports, /dev/hidraw1)")
                .contains("    SUBSYSTEM==\"hidraw\", KERNELS==\"*:1209:B0B0.*\", GROUP=\"input\", MODE=\"0660\"");
        assertThat(DeviceLines.of(device("event4", "Clay Works Pedal", "1209:2303", "usb-1", Reading.KEYS)))
                .noneMatch(line -> line.contains("udev"));
    }

    @Test
    void givesTheUdevLineToRootForADeviceThatTheServiceMayNotRead() throws IOException {
        Path node = Files.createFile(
                folder.resolve("hidraw1"),
                PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
        Device box = new Device(node, "Clay Works Box", "1209:b0b0", "usb-2/input0", "", Reading.REPORTS, "");
        assertThat(DeviceLines.of(box))
                .contains("    can be read by you, but not by the service")
                .contains("    SUBSYSTEM==\"hidraw\", KERNELS==\"*:1209:B0B0.*\", GROUP=\"input\", MODE=\"0660\"");
        Files.setPosixFilePermissions(node, PosixFilePermissions.fromString("rw-rw-r--"));
        assertThat(DeviceLines.of(box)).noneMatch(line -> line.contains("udev"));
    }
}
