package instep.daemon;

import static instep.daemon.DeskRig.CONFIGURATION;
import static instep.daemon.DeskRig.LEFT;
import static instep.daemon.DeskRig.RIGHT;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.journal.Disk;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.reference.Installed;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The journal's disk is full in the middle of a take: a lamp is lit, the desk goes on switching, and nothing is lost when there is room again. */
class DiskFullTest {
    static final String MAPPING =
            CONFIGURATION.replace("messages:\n", """
                    messages:
                      disk: { lamp: { osc: /lamp/disk, args: [1] } }
                      room: { lamp: { osc: /lamp/room, args: [0] } }
                    """).replace("        right.press: standby\n", """
                            right.press: standby
                            journal.failing: { send: disk }
                            journal.back: { send: room, mark: room }
                    """);

    @TempDir
    Path work = Path.of("");

    /** What makes a disk full, or gives it room again. */
    interface Step {
        void run() throws IOException;
    }

    @Tag("lab")
    @Test
    void lightsALampAndLosesNothing() throws Exception {
        FillingDisk disk = new FillingDisk();
        try (DeskRig rig = DeskRig.open(work, MAPPING, disk)) {
            livesThrough(rig, () -> disk.full(true), () -> disk.full(false));
        }
    }

    /** A disk of its own in memory, as the kernel fills it; only root can make one, as in a container. */
    @Test
    @Tag("lab")
    void livesWithAFullDiskOfTheKernel() throws Exception {
        Path disk = Files.createDirectories(work.resolve("live"));
        Installed.mounted(run("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", disk.toString()) == 0);
        Path filler = disk.resolve("filler");
        try (DeskRig rig = DeskRig.open(work, MAPPING, Disk.REAL)) {
            livesThrough(rig, () -> fill(filler), () -> Files.delete(filler));
        } finally {
            run("umount", disk.toString());
        }
    }

    /** To the last byte. */
    private static void fill(Path filler) throws IOException {
        byte[] piece = new byte[512];
        try (var out = Files.newOutputStream(filler)) {
            while (true) {
                out.write(piece);
            }
        } catch (IOException e) {
            assertThat(e).hasMessageContaining("space");
        }
    }

    private static int run(String... command) throws IOException, InterruptedException {
        return new ProcessBuilder(command).inheritIO().start().waitFor();
    }

    private static void livesThrough(DeskRig rig, Step fill, Step free) throws Exception {
        rig.press(RIGHT);
        rig.tells(Kind.TAKE_OPEN, 1);
        fill.run();
        // The journal cannot be waited for now: what the mixer hears tells that the desk switches.
        for (int i = 1; i <= 40; i++) {
            rig.key(LEFT, true);
            rig.hears("mixer", "CUT 2", i);
            rig.key(LEFT, false);
            rig.hears("mixer", "CUT 1", i + 1);
        }
        rig.hears("lamp", "/lamp/disk", 1);
        assertThat(rig.received("lamp")).noneMatch(line -> line.contains("/lamp/room"));
        free.run();
        rig.hears("lamp", "/lamp/room", 1);
        await().until(() -> rig.count(Kind.CUT) == 81);
        List<Entry> told = rig.entries(Kind.FAULT).stream()
                .filter(entry -> entry.text(Key.JOURNAL).isPresent())
                .toList();
        assertThat(told).extracting(entry -> entry.text(Key.JOURNAL).orElse("")).containsExactly("failing", "back");
        assertThat(told.get(0).text(Key.TEXT).orElse("")).contains("the journal cannot be written in", "space");
        assertThat(told.get(1).text(Key.TEXT).orElse("")).contains("could not be written for");
        assertThat(rig.count(Kind.MARK)).isEqualTo(1);
        rig.press(RIGHT);
        rig.tells(Kind.TAKE_CLOSE, 1);
        assertThat(rig.replayed()).isEqualTo(rig.decisions());
    }
}
