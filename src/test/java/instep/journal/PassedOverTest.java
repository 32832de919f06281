package instep.journal;

import static instep.journal.TestJournal.SECOND;
import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Mark;
import instep.cutlist.Shot;
import instep.cutlist.Shots;
import instep.cutlist.TakeEvent;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Reading only some kinds of records gives the same as reading all and forgetting the others. */
class PassedOverTest {
    @TempDir
    private Path folder = Path.of("");

    private Path lesson() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
            journal.append(0, 0, Happening.takeOpen(1));
            journal.append(0, 0, Happening.cut("wide", null, -1, -1));
            journal.append(SECOND, 25, Happening.edge("floor.left", true, false));
            journal.append(SECOND, 25, Happening.cut("wheel", "wide", -1, -1));
            journal.append(2 * SECOND, 50, Happening.mark("retake", "again", -1));
            journal.append(3 * SECOND, 75, Happening.reply("mixer", "say \"kind\":\"cut\"", -1));
            journal.append(4 * SECOND, 100, Happening.edge("floor.left", false, false));
        }
        return TestJournal.file(folder);
    }

    private static final class Seen implements JournalScan.Visitor {
        private final List<Kind> kinds = new ArrayList<>();
        private final List<Long> passed = new ArrayList<>();
        private final List<String> damage = new ArrayList<>();

        @Override
        public void entry(Path file, long line, Entry entry) {
            kinds.add(entry.kind());
        }

        @Override
        public void passed(long mono) {
            passed.add(mono);
        }

        @Override
        public void damaged(DamagedLineException what) {
            damage.add(String.valueOf(what.getMessage()));
        }
    }

    @Test
    void showsOnlyWhatWasAskedForAndHowFarTimeHasCome() throws IOException {
        Seen seen = new Seen();
        JournalScan.of(lesson(), EnumSet.of(Kind.CUT, Kind.MARK), seen);
        assertThat(seen.kinds).containsExactly(Kind.CUT, Kind.CUT, Kind.MARK);
        assertThat(seen.passed).containsExactly(0L, SECOND, 4 * SECOND);
    }

    @Test
    void namesADamagedLineOfAKindThatNobodyAskedFor() throws IOException {
        Path file = lesson();
        Files.writeString(
                file, Files.readString(file).replace("floor.left\",\"closed\":true", "floor.left\",\"closed\":TRUE"));
        Seen seen = new Seen();
        JournalScan.of(file, EnumSet.of(Kind.CUT), seen);
        assertThat(seen.damage).hasSize(1).first().asString().contains(":4: damaged line");
        assertThat(seen.kinds).containsExactly(Kind.CUT, Kind.CUT);
    }

    @Test
    void aTakeThatBreaksOffLastsAsLongAsWhatWasPassedOver() throws IOException {
        TakeEvents all = new TakeEvents();
        TestJournal.read(lesson()).forEach(all::accept);
        List<TakeEvent> some = new ArrayList<>();
        TakeEvents few = new TakeEvents(some::add);
        JournalScan.of(TestJournal.file(folder), TakeEvents.KINDS, new JournalScan.Visitor() {
            @Override
            public void entry(Path file, long line, Entry entry) {
                few.accept(entry);
            }

            @Override
            public void passed(long mono) {
                few.passed(mono);
            }

            @Override
            public void damaged(DamagedLineException what) {
                throw new AssertionError(what);
            }
        });
        few.end();
        assertThat(some)
                .isEqualTo(all.toList())
                .contains(new TakeEvent.Marked(new Mark("retake", "again", 50)), new TakeEvent.RunEnded(101));
        assertThat(Shots.of(some)).containsExactly(new Shot(1, "wide", 0, 25), new Shot(1, "wheel", 25, 101));
    }
}
