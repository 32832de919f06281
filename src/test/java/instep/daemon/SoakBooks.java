package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;

/** What the gear has heard, held against what the journal says that it was told. */
final class SoakBooks {
    /** So many lines may be on their way to the disk, or to gear, when the daemon is killed on a busy machine. */
    private static final int ON_ITS_WAY = 25;

    private final SoakGear gear;
    private final SoakJournal journal;
    /** For each run that was killed since the books were closed: whether the journal could not be written. */
    private final List<Boolean> killed = new ArrayList<>();

    private long takes;
    private long lines;

    SoakBooks(SoakGear gear, SoakJournal journal) {
        this.gear = gear;
        this.journal = journal;
    }

    /** Of a run that was killed, the journal has the end only if the disk took it. */
    void killed(boolean whileFailing) {
        killed.add(whileFailing);
    }

    /** In the evening; returns what the journal has of the day. */
    List<Entry> close() throws IOException {
        List<Map<String, List<String>>> heard = gear.heard();
        List<Entry> day = journal.take();
        List<List<Entry>> runs = runs(day);
        assertThat(heard).hasSameSizeAs(runs).hasSize(killed.size() + 1);
        for (int i = 0; i < runs.size(); i++) {
            int slack = i == runs.size() - 1 ? 0 : killed.get(i) ? Integer.MAX_VALUE : ON_ITS_WAY;
            agree(runs.get(i), heard.get(i), slack);
        }
        List<String> mixer = heard.get(heard.size() - 1).getOrDefault(SoakGear.MIXER, List.of());
        assertThat(mixer.subList(mixer.size() - 4, mixer.size() - 1)).containsExactly("CUT 1", "CUT 2", "CUT 1");
        killed.clear();
        takes += day.stream().filter(entry -> entry.kind() == Kind.TAKE_OPEN).count();
        return day;
    }

    /** A day that goes on with a run of the day before has no beginning; it may have been killed before anything came of it. */
    private List<List<Entry>> runs(List<Entry> day) {
        List<List<Entry>> runs = new ArrayList<>();
        for (Entry entry : day) {
            if (entry.kind() == Kind.START || runs.isEmpty()) {
                runs.add(new ArrayList<>());
            }
            runs.get(runs.size() - 1).add(entry);
        }
        if (runs.size() == killed.size()) {
            runs.add(0, new ArrayList<>());
        }
        return runs;
    }

    private void agree(List<Entry> run, Map<String, List<String>> heard, int slack) {
        List<String> mixer = heard.getOrDefault(SoakGear.MIXER, List.of());
        List<String> told = told(run, SoakGear.MIXER);
        lines += mixer.size();
        int both = Math.min(mixer.size(), told.size());
        assertThat(mixer.subList(0, both)).isEqualTo(told.subList(0, both));
        assertThat(Math.abs(mixer.size() - told.size()))
                .as("the mixer heard %s and was told %s", end(mixer), end(told))
                .isLessThanOrEqualTo(slack);
        wasTold("second", heard.getOrDefault(SoakGear.SECOND, List.of()), told(run, SoakGear.SECOND, "other"), slack);
        wasTold(
                "recorder",
                once(heard.getOrDefault(SoakGear.RECORDER, List.of())),
                told(run, SoakGear.RECORDER),
                slack);
        wasTold("lamp", heard.getOrDefault(SoakGear.LAMP, List.of()), told(run, SoakGear.LAMP), slack);
    }

    /** A PUT may be made a second time if nothing has come back before the connection was lost (RFC 9110, 9.2.2). */
    private static List<String> once(List<String> heard) {
        return IntStream.range(0, heard.size())
                .filter(i -> i == 0 || !heard.get(i).equals(heard.get(i - 1)))
                .mapToObj(heard::get)
                .toList();
    }

    private static List<String> end(List<String> lines) {
        return lines.subList(Math.max(0, lines.size() - 8), lines.size());
    }

    /** Gear that is switched off at times hears less than it is told, but nothing else, and in that order. */
    private static void wasTold(String gear, List<String> heard, List<String> told, int slack) {
        int at = 0;
        int more = 0;
        for (String line : heard) {
            int next = told.subList(at, told.size()).indexOf(line);
            more += next < 0 ? 1 : 0;
            at += next + 1;
            assertThat(more)
                    .as("%s heard %s, which it was not told then; it was told %s", gear, line, end(told))
                    .isLessThanOrEqualTo(slack);
        }
    }

    private static List<String> told(List<Entry> entries, String... gear) {
        return entries.stream()
                .filter(entry -> entry.kind() == Kind.SENT
                        && List.of(gear).contains(entry.text(Key.GEAR).orElse("")))
                .map(entry -> entry.text(Key.WHAT).orElse(""))
                .toList();
    }

    @Override
    public String toString() {
        return takes + " takes, " + lines + " lines at the mixer";
    }
}
