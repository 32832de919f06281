package instep.daemon;

import static instep.daemon.DeskRig.CONFIGURATION;
import static instep.daemon.DeskRig.LEFT;
import static instep.daemon.DeskRig.MIDDLE;
import static instep.daemon.DeskRig.RIGHT;
import static org.assertj.core.api.Assertions.assertThat;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A configuration that changes while the desk runs. */
class ReloadTest {
    private static final String TO_GLAZE = CONFIGURATION.replace("{ angle: wheel, until", "{ angle: glaze, until");

    @TempDir
    private Path work = Path.of("");

    @Test
    void waitsForTheEndOfTheTakeAndKeepsLinksAndPedals() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.press(RIGHT);
            rig.hears("mixer", "CUT 1", 1);
            rig.save(TO_GLAZE);
            rig.says("comes into force when take 1 is over");
            rig.press(LEFT);
            rig.hears("mixer", "CUT 2", 1);
            rig.press(RIGHT);
            rig.says("gear 2 kept; pedals 1 kept; state standby kept");
            rig.press(RIGHT);
            rig.press(LEFT);
            rig.hears("mixer", "CUT 4", 1);
            assertThat(rig.entries(Kind.LINK)).hasSize(2);
            assertThat(rig.entries(Kind.DEVICE))
                    .filteredOn(device -> device.text(Key.STATE).orElse("").equals("up"))
                    .hasSize(1);
            assertThat(rig.entries(Kind.FAULT)).isEmpty();
            assertThat(rig.replayed()).isEqualTo(rig.decisions()).hasSizeGreaterThan(15);
        }
    }

    @Test
    void keepsAnOpenTakeAndAPressedPedalWhereItIsToComeAtOnce() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.press(RIGHT);
            rig.press(MIDDLE);
            rig.hears("mixer", "CUT 3", 1);
            rig.key(LEFT, true);
            rig.hears("mixer", "CUT 2", 1);
            // Another pedal before it, which moves the numbers of its contacts.
            rig.save(CONFIGURATION
                    .replace("data:", "reload: at-once\ndata:")
                    .replace(
                            "pedals:\n",
                            "pedals:\n  box: { match: { usb: \"0000:0001\" }, contacts: { red: KEY_D } }\n")
                    .replace("{ angle: hands, set: { iris: +1 } }", "{ angle: glaze, set: { iris: +1 } }"));
            rig.says("gear 2 kept; pedals 1 kept, 1 new; state rolling kept");
            rig.key(LEFT, false);
            rig.hears("mixer", "CUT 3", 2);
            rig.press(MIDDLE);
            rig.hears("mixer", "CUT 4", 1);
            assertThat(rig.received("mixer")).containsExactly("CUT 1", "CUT 3", "CUT 2", "CUT 3", "CUT 4");
            assertThat(rig.entries(Kind.TAKE_OPEN)).hasSize(1);
            assertThat(rig.entries(Kind.TAKE_CLOSE)).isEmpty();
            Entry last = rig.entries(Kind.STANDING).get((int) rig.count(Kind.STANDING) - 1);
            assertThat(last.text(Key.VALUES)).contains("iris=6");
            assertThat(rig.replayed()).isEqualTo(rig.decisions());
        }
    }

    @Test
    void leavesAStateThatIsGoneForTheNearestThatIsThere() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.press(RIGHT);
            rig.hears("mixer", "CUT 1", 1);
            rig.save(CONFIGURATION
                    .replace("data:", "reload: at-once\ndata:")
                    .replace("right.press: rolling", "right.press: teaching")
                    .replace("    rolling:\n", "    teaching:\n"));
            rig.says("state rolling is gone, now standby");
            rig.hears("lamp", "/lamp/off", 1);
            rig.press(RIGHT);
            rig.tells(Kind.TAKE_OPEN, 2);
            assertThat(rig.entries(Kind.TAKE_CLOSE)).hasSize(1);
            assertThat(rig.entries(Kind.TAKE_OPEN).get(1).number(Key.TAKE)).hasValue(2);
            assertThat(rig.replayed()).isEqualTo(rig.decisions());
        }
    }

    @Test
    void connectsGearAgainForWhichMoreOrLessMayWait() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.save(CONFIGURATION.replace("line-end: crlf,", "line-end: crlf, queue: 8,"));
            rig.says("gear 1 kept, 1 new, 1 let go; pedals 1 kept; state standby kept");
        }
    }

    @Test
    void connectsNewGearAndLetsOthersGo() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.press(RIGHT);
            rig.hears("mixer", "CUT 1", 1);
            rig.press(RIGHT);
            rig.save(CONFIGURATION
                    .replace("  lamp: {", "  tally: {")
                    .replace("lamp: { osc: /lamp/off }", "tally: { osc: /tally/off }"));
            rig.says("gear 1 kept, 1 new, 1 let go; pedals 1 kept; state standby kept");
            rig.tells(Kind.LINK, 3);
            rig.press(RIGHT);
            rig.press(RIGHT);
            rig.hears("lamp", "/tally/off", 1);
            assertThat(rig.entries(Kind.LINK))
                    .extracting(link -> link.text(Key.GEAR).orElse(""))
                    .containsExactlyInAnyOrder("mixer", "lamp", "tally");
            assertThat(rig.replayed()).isEqualTo(rig.decisions());
        }
    }

    @Test
    void keepsTheOldOneWhenTheNewOneIsFaulty() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.save(CONFIGURATION.replace("{ angle: wheel, until", "{ angle: whel, until"));
            rig.says("unknown angle \"whel\"; did you mean \"wheel\"?");
            String fault = rig.entries(Kind.FAULT).get(0).text(Key.TEXT).orElse("");
            assertThat(fault).contains(rig.file + ":26:30:").contains("the one before it stays in force");
            rig.press(RIGHT);
            rig.press(LEFT);
            rig.hears("mixer", "CUT 2", 1);
            // Not a second time for the same fault.
            rig.save(CONFIGURATION.replace("{ angle: wheel, until", "{ angle: whel, until"));
            rig.press(RIGHT);
            rig.save(TO_GLAZE);
            rig.tells(Kind.CONFIG, 2);
            assertThat(rig.entries(Kind.FAULT)).hasSize(1);
        }
    }

    @Test
    void saysThatASoundOneIsDroppedForAFaultyOne() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.press(RIGHT);
            rig.save(TO_GLAZE);
            rig.says("comes into force when take 1 is over");
            rig.save(CONFIGURATION.replace("{ angle: wheel, until", "{ angle: whel, until"));
            rig.says("stays in force, and the sound one that waited for the end of the take is dropped");
            rig.press(RIGHT);
            rig.reload();
            rig.tells(Kind.FAULT, 2);
            assertThat(rig.entries(Kind.FAULT).get(1).text(Key.TEXT).orElse("")).doesNotContain("dropped");
            assertThat(rig.count(Kind.CONFIG)).isEqualTo(1);
        }
    }

    /** Who has mended the file in a take is not told until its end that it is faulty. */
    @Test
    void takesTheFaultBackAsSoonAsTheFileIsMended() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.press(RIGHT);
            rig.save(CONFIGURATION.replace("{ angle: wheel, until", "{ angle: whel, until"));
            rig.says("stays in force");
            rig.save(TO_GLAZE);
            rig.says("comes into force when take 1 is over");
            assertThat(rig.entries(Kind.NOTE))
                    .last()
                    .satisfies(note -> assertThat(note.text(Key.CONFIG))
                            .as("what ends the fault on the page")
                            .hasValue(rig.file.toString()));
        }
    }

    @Test
    void saysWhenThereIsNothingToReload() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.reload();
            rig.says("is as it is in force: nothing to reload");
            assertThat(rig.count(Kind.CONFIG)).isEqualTo(1);
        }
    }

    @Test
    void refusesWhatCountsFromARestartOnly() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            rig.save(CONFIGURATION.replace("rate: 25", "rate: 50"));
            rig.says("the section timecode differs, and that counts from a restart only");
            assertThat(rig.count(Kind.CONFIG)).isEqualTo(1);
        }
    }

    @Test
    void takesUpWhatAnEditorSavedAHundredTimesOnce() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            for (int i = 0; i < 100; i++) {
                String half = rig.placed(TO_GLAZE + "# " + i);
                Files.writeString(rig.file, half.substring(0, half.length() / 2));
                Files.writeString(rig.file, half);
            }
            rig.tells(Kind.CONFIG, 2);
            rig.reload();
            rig.says("nothing to reload");
            assertThat(rig.count(Kind.FAULT)).isZero();
            assertThat(rig.count(Kind.CONFIG)).isEqualTo(2);
            assertThat(rig.entries(Kind.CONFIG).get(1).text(Key.TEXT).orElse(""))
                    .endsWith("# 99");
        }
    }

    /** Nothing happens in the folder of the file itself, which goes on being what it was, elsewhere. */
    @Test
    void seesAnotherTreeComeInThePlaceOfTheOneThatItIsIn() throws Exception {
        Path tree = work.resolve("tree");
        try (DeskRig rig = DeskRig.open(tree.resolve("studio"), CONFIGURATION)) {
            Path before = Files.move(tree, work.resolve("before"));
            Files.createDirectories(rig.file.getParent());
            Files.createSymbolicLink(rig.folder, before.resolve("studio/live"));
            Files.writeString(rig.file, rig.placed(TO_GLAZE));
            rig.tells(Kind.CONFIG, 2);
            rig.save(CONFIGURATION);
            rig.tells(Kind.CONFIG, 3);
        }
    }

    @Test
    void seesALinkInTheMiddleOfThePathLeadElsewhere() throws Exception {
        Path first = Files.createDirectories(work.resolve("v1"));
        Path second = Files.createDirectories(work.resolve("v2"));
        Path now = Files.createSymbolicLink(work.resolve("etc"), first);
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            Files.writeString(second.resolve(rig.file.getFileName()), rig.placed(TO_GLAZE));
            Path next = Files.createSymbolicLink(work.resolve("next"), second);
            Files.move(next, now, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
            rig.tells(Kind.CONFIG, 2);
            rig.save(CONFIGURATION);
            rig.tells(Kind.CONFIG, 3);
        }
    }

    @Test
    void survivesAFileThatIsHugeAFolderGoneOrBackAgain() throws Exception {
        try (DeskRig rig = DeskRig.open(work, CONFIGURATION)) {
            Files.writeString(rig.file, "# " + "x".repeat(10_000_000));
            rig.says("the file is larger than 256 KiB");
            Files.delete(rig.file);
            rig.says("there is no such file");
            Files.createDirectory(rig.file);
            rig.says("this is a folder");
            Files.delete(rig.file);
            Path etc = work.resolve("etc");
            Files.move(etc, work.resolve("elsewhere"));
            Files.createDirectory(etc);
            Files.writeString(rig.file, rig.placed(TO_GLAZE));
            rig.tells(Kind.CONFIG, 2);
            rig.press(RIGHT);
            rig.press(LEFT);
            rig.hears("mixer", "CUT 4", 1);
        }
    }
}
