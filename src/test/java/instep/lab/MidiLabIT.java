package instep.lab;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * MIDI on a real kernel: a USB foot board that is the kernel's own gadget (f_midi behind dummy_hcd, read through snd-usb-audio), and the virtual card (snd-virmidi),
 * which sends running status: {@code src/test/lab/jobs/midi/pedals}.
 */
@Tag("lab")
final class MidiLabIT {
    private static final long MILLI = 1_000_000;
    /** Of the machine's own clock: what the emulated USB takes, which passes messages on every 4 ms. */
    private static final long USB_NANOS = 10 * MILLI;

    private static LabJob job;
    private static List<JournalLine> lesson = List.of();
    private static List<JournalLine> saved = List.of();

    @BeforeAll
    static void play() throws Exception {
        job = LabJob.run("midi");
        List<JournalLine> all = job.journal();
        int second = all.size() - 1;
        while (!all.get(second).is("start")) {
            second--;
        }
        lesson = all.subList(0, second);
        saved = all.subList(second, all.size());
    }

    private static Stream<String> edges(List<JournalLine> lines, String pedal) {
        return lines.stream()
                .filter(line -> line.isEdgeOf(pedal))
                .map(line -> line.text("contact").substring(pedal.length() + 1)
                        + (line.flag("lost") ? " lost" : line.flag("closed") ? " closed" : " open"));
    }

    private static List<JournalLine> edgesOf(String contact) {
        return lesson.stream()
                .filter(line -> line.is("edge") && line.text("contact").equals(contact))
                .toList();
    }

    private static long sent(String device, String hex, int which) {
        return job.played().stream()
                .filter(line -> line.what().equals("sent")
                        && line.device().equals(device)
                        && line.rest().equals(hex))
                .skip(which)
                .findFirst()
                .orElseThrow()
                .before();
    }

    // MIDI 1.0: note-on of velocity 0 is a note-off; the threshold of 60% lies at 77 of 127
    @Test
    void notesControllersAndProgramsOfAUsbBoardAreContacts() {
        assertThat(edges(lesson, "board").limit(8))
                .as(job::story)
                .containsExactly(
                        "sole closed",
                        "sole open",
                        "sole closed",
                        "sole open",
                        "swell closed",
                        "swell open",
                        "next closed",
                        "next open");
        assertThat(lesson.stream().filter(line -> line.is("position")).map(line -> line.text("value")))
                .as(job::story)
                .containsExactly("16", "127", "0");
    }

    /** MIDI 1.0, Running Status; the virtual card leaves the status byte out where it may (sound/core/seq/seq_midi_event.c). */
    @Test
    void runningStatusIsUnderstood() {
        assertThat(edges(lesson, "wire"))
                .as(job::story)
                .containsExactly("a closed", "b closed", "a open", "b open", "c closed", "c open");
    }

    /** Read together, they would bear one time if it were that of reading. */
    @Test
    void edgesBearTheKernelsTime() {
        List<Long> at = lesson.stream()
                .filter(line -> line.isEdgeOf("wire"))
                .limit(4)
                .map(line -> line.number("mono"))
                .toList();
        assertThat(at).as(job::story).doesNotHaveDuplicates().isSorted();
        long before = sent("virtual", "902440254024002500", 0);
        assertThat(at).as(job::story).allMatch(nanos -> nanos > before && nanos < before + MILLI);
        assertThat(edgesOf("board.sole").get(0).number("mono") - sent("board", "903c40", 0))
                .as(job::story)
                .isBetween(0L, USB_NANOS);
    }

    /** MIDI 1.0, Active Sensing: 300 ms of silence after it was sent, counted from the last. */
    @Test
    void silenceAfterActiveSensingLetsTheNoteGo() {
        JournalLine lost = edgesOf("board.sole").get(5);
        assertThat(lost.flag("lost")).as(job::story).isTrue();
        assertThat(lost.number("mono") - sent("board", "fe", 1))
                .as(job::story)
                .isBetween(300 * MILLI, 300 * MILLI + USB_NANOS);
    }

    @Test
    void aPulledPlugLetsTheNoteGoAndTheBoardIsTakenUpAgain() {
        assertThat(edges(lesson, "board").skip(8))
                .as(job::story)
                .containsExactly("sole closed", "sole lost", "sole closed", "sole lost", "sole closed", "sole open");
        assertThat(told().toList())
                .as(job::story)
                .containsSubsequence("BACK", "SOLE down", "SOLE up", "NEXT", "LOST", "BACK", "SOLE down", "SOLE up");
    }

    /** One program at a time may read an input; that of the virtual card which somebody else has is not taken for the next one's. */
    @Test
    void aDeviceThatAnotherProgramHoldsIsDeniedAndTakenUpWhenItIsFree() {
        assertThat(job.lines("stranger"))
                .as(job::story)
                .singleElement()
                .asString()
                .endsWith("Device or resource busy");
        assertThat(lesson.stream()
                        .filter(line -> line.is("device") && line.text("pedal").equals("other"))
                        .map(line -> line.text("state") + ": " + line.text("detail")))
                .as(job::story)
                .containsExactly(
                        "denied: another program holds /dev/snd/midiC0D2; end that program",
                        "up: reads /dev/snd/midiC0D2 (VirMIDI)");
    }

    @Test
    void identifyListsTheBoardAndWhatItSavesIsRun() {
        assertThat(job.lines("identified"))
                .as(job::story)
                .contains("      plugged in at 1-1:1.0/midi0, serial SN-42")
                .anyMatch(line -> line.startsWith("  Lab foot board (usb 1209:b0a2, MIDI, /dev/snd/midiC"));
        assertThat(edges(saved, "floor"))
                .as(job::story)
                .containsExactly(
                        "first closed", "first open", "second closed", "second open", "third closed", "third open");
        assertThat(saved.stream().filter(line -> line.is("cut")).map(line -> line.text("angle")))
                .as(job::story)
                .containsExactly("wide", "wheel", "wide");
        assertThat(saved.stream().filter(line -> line.is("mark")).map(line -> line.text("mark")))
                .as(job::story)
                .containsExactly("third");
    }

    @Test
    void nothingGoesWrong() {
        assertThat(job.lines("errors")).as(job::story).isEmpty();
        assertThat(job.lines("program-status")).as(job::story).containsExactly("0");
    }

    private static Stream<String> told() {
        List<Sunk> sunk = job.lines("sink").stream().map(Sunk::parse).toList();
        return new String(Sunk.bytesTo("mixer", sunk), ISO_8859_1).lines();
    }
}
