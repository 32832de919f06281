package instep.journal;

import static instep.journal.TestJournal.SECOND;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a power cut leaves may be zeros without end: reading them holds no more than a piece of them. */
class EndlessLineTest {
    private static final long ZEROS = 40L << 20;

    @TempDir
    private Path folder = Path.of("");

    private Path lesson() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, Happening.takeOpen(1));
            journal.append(SECOND, 25, Happening.cut("wide", null, -1, -1));
        }
        return TestJournal.file(folder);
    }

    private static final class Seen implements JournalScan.Visitor {
        private final List<Kind> kinds = new ArrayList<>();
        private final List<String> damaged = new ArrayList<>();
        private long torn;

        @Override
        public void entry(Path file, long line, Entry entry) {
            kinds.add(entry.kind());
        }

        @Override
        public void damaged(DamagedLineException what) {
            damaged.add(String.valueOf(what.getMessage()));
        }

        @Override
        public void torn(Path file, long bytes) {
            torn = bytes;
        }
    }

    @Test
    void goesOnBelowALineOfZeros() throws IOException {
        Path file = lesson();
        byte[] lines = Files.readAllBytes(file);
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
            channel.position(lines.length + ZEROS);
            channel.write(ByteBuffer.wrap(new byte[] {'\n'}));
            channel.write(ByteBuffer.wrap(lines));
        }
        Seen seen = new Seen();
        JournalScan.of(folder, seen);
        assertThat(seen.kinds).containsExactly(Kind.TAKE_OPEN, Kind.CUT, Kind.TAKE_OPEN, Kind.CUT);
        assertThat(seen.damaged).hasSize(1).first().asString().contains(":3: damaged line");
        assertThat(seen.torn).isZero();
    }

    @Test
    void countsTheZerosAfterTheLastLine() throws IOException {
        Path file = lesson();
        long size = Files.size(file);
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
            channel.position(size + ZEROS - 1);
            channel.write(ByteBuffer.wrap(new byte[] {0}));
        }
        Seen seen = new Seen();
        JournalScan.of(folder, seen);
        assertThat(seen.kinds).hasSize(2);
        assertThat(seen.torn).isEqualTo(ZEROS);
        try (JournalReader reader = JournalReader.open(file)) {
            while (reader.next().isPresent()) {
                // until the end
            }
            assertThat(reader.held()).isLessThan((int) ZEROS / 2);
        }
    }
}
