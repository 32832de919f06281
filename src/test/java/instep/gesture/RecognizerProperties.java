package instep.gesture;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;

/** What holds whatever the feet do. */
class RecognizerProperties {
    private static final long MILLIS = 1_000_000L;
    private static final int CONTACTS = 4;

    /** One edge, so long after the one before it. */
    record Edge(int contact, boolean closed, boolean lost, long afterNanos) {}

    /** One gesture. */
    record Heard(int gesture, long began, long at) {}

    /** Contacts, chords and holds with thresholds of all sorts. */
    private static Gestures gestures(List<Timing> timings) {
        List<Contact> contacts = new ArrayList<>();
        for (int i = 0; i < CONTACTS; i++) {
            contacts.add(new Contact(i < 3 ? "floor" : "box", "c" + i, timings.get(i)));
        }
        return new Gestures(
                contacts,
                List.of(
                        new Gestures.Chord(List.of(0, 1)),
                        new Gestures.Chord(List.of(0, 1, 2)),
                        new Gestures.Chord(List.of(2, 3))),
                List.of(
                        new Gestures.NamedHold(0, 200 * MILLIS, "hold 200ms"),
                        new Gestures.NamedHold(0, 1_000 * MILLIS, "hold 1s"),
                        new Gestures.NamedHold(CONTACTS, 30 * MILLIS, "hold 30ms")));
    }

    @Provide
    Arbitrary<List<Edge>> edges() {
        Arbitrary<Integer> contact = Arbitraries.integers().between(0, CONTACTS - 1);
        Arbitrary<Boolean> lost =
                Arbitraries.frequency(net.jqwik.api.Tuple.of(1, true), net.jqwik.api.Tuple.of(20, false));
        Arbitrary<Long> after = Arbitraries.oneOf(
                Arbitraries.longs().between(-5 * MILLIS, 12 * MILLIS),
                Arbitraries.longs().between(0, 300 * MILLIS),
                Arbitraries.longs().between(0, 1_500 * MILLIS),
                Arbitraries.of(0L, 8 * MILLIS, 60 * MILLIS, 280 * MILLIS, 500 * MILLIS));
        return Combinators.combine(contact, Arbitraries.of(true, false), lost, after)
                .as((c, closed, gone, nanos) -> new Edge(c, closed && !gone, gone, nanos))
                .list()
                .ofMaxSize(60);
    }

    @Provide
    Arbitrary<List<Timing>> timings() {
        Arbitrary<Long> millis = Arbitraries.of(0L, 1L, 8L, 40L, 100L, 280L);
        return Combinators.combine(millis, millis, millis, Arbitraries.of(20L, 300L, 500L))
                .as((debounce, window, grace, hold) ->
                        new Timing(debounce * MILLIS, hold * MILLIS, window * MILLIS, grace * MILLIS))
                .list()
                .ofSize(CONTACTS);
    }

    @Provide
    Arbitrary<Set<Integer>> wants() {
        return Arbitraries.integers()
                .between(
                        0,
                        gestures(java.util.Collections.nCopies(CONTACTS, Timing.DEFAULT))
                                        .count()
                                - 1)
                .set();
    }

    @Property
    void hearsAsManyReleasesAsPressesOnceAllIsLost(
            @ForAll("edges") List<Edge> edges,
            @ForAll("timings") List<Timing> timings,
            @ForAll("wants") Set<Integer> wants) {
        Gestures gestures = gestures(timings);
        Player player = new Player(gestures, wants);
        edges.forEach(player::play);
        for (int contact = 0; contact < CONTACTS; contact++) {
            player.play(new Edge(contact, false, true, MILLIS));
        }
        for (int source = 0; source < gestures.sources(); source++) {
            assertThat(player.count(gestures.number(source, GestureKind.PRESS)))
                    .as("source %d", source)
                    .isEqualTo(player.count(gestures.number(source, GestureKind.RELEASE)));
            assertThat(player.count(gestures.number(source, GestureKind.HOLD)))
                    .isLessThanOrEqualTo(player.count(gestures.number(source, GestureKind.HOLD_END)));
        }
    }

    @Property
    void hearsEveryPressEndAsATapAHoldOrALossWhereNoRowIsWanted(
            @ForAll("edges") List<Edge> edges, @ForAll("timings") List<Timing> timings) {
        Gestures gestures = gestures(timings);
        Player player = new Player(gestures, Set.of());
        edges.forEach(player::play);
        long lost = edges.stream().filter(Edge::lost).count();
        for (int contact = 0; contact < CONTACTS; contact++) {
            player.play(new Edge(contact, false, false, 2_000 * MILLIS));
        }
        player.advance(2_000 * MILLIS);
        int presses = 0;
        int ends = 0;
        for (int contact = 0; contact < CONTACTS; contact++) {
            presses += player.count(gestures.number(contact, GestureKind.PRESS));
            ends += player.count(gestures.number(contact, GestureKind.TAP))
                    + player.count(gestures.number(contact, GestureKind.HOLD_END));
        }
        assertThat((long) presses).isBetween((long) ends, ends + lost);
    }

    @Property
    void neverGoesBackInTime(
            @ForAll("edges") List<Edge> edges,
            @ForAll("timings") List<Timing> timings,
            @ForAll("wants") Set<Integer> wants) {
        Player player = new Player(gestures(timings), wants);
        long told = Long.MIN_VALUE;
        for (Edge edge : edges) {
            player.play(edge);
            told = Math.max(told, player.now);
            assertThat(player.recognizer.nextDeadline()).isGreaterThanOrEqualTo(told);
        }
        player.advance(5_000 * MILLIS);
        long before = Long.MIN_VALUE;
        for (Heard heard : player.heard) {
            assertThat(heard.began).isLessThanOrEqualTo(heard.at);
            assertThat(heard.at).isGreaterThanOrEqualTo(before);
            before = heard.at;
        }
    }

    @Property
    void hearsTheSameHoweverOftenTheTimeIsTold(
            @ForAll("edges") List<Edge> edges,
            @ForAll("timings") List<Timing> timings,
            @ForAll("wants") Set<Integer> wants,
            @ForAll("splits") List<Long> splits) {
        Player whole = new Player(gestures(timings), wants);
        Player split = new Player(gestures(timings), wants);
        int next = 0;
        for (Edge edge : edges) {
            whole.play(edge);
            for (long part = 0; part < edge.afterNanos && !splits.isEmpty(); next++) {
                part += splits.get(next % splits.size());
                split.recognizer.advanceTo(split.now + Math.min(part, edge.afterNanos));
            }
            split.play(edge);
        }
        whole.advance(5_000 * MILLIS);
        for (int i = 0; i < 50; i++) {
            split.advance(100 * MILLIS);
        }
        assertThat(split.heard).isEqualTo(whole.heard);
    }

    @Provide
    Arbitrary<List<Long>> splits() {
        return Arbitraries.longs().between(MILLIS, 200 * MILLIS).list().ofMaxSize(20);
    }

    @Property
    void waitsForNothingOnceAllIsOpenAndLongPast(
            @ForAll("edges") List<Edge> edges,
            @ForAll("timings") List<Timing> timings,
            @ForAll("wants") Set<Integer> wants) {
        Player player = new Player(gestures(timings), wants);
        edges.forEach(player::play);
        for (int contact = 0; contact < CONTACTS; contact++) {
            player.play(new Edge(contact, false, false, MILLIS));
        }
        player.advance(10_000 * MILLIS);
        assertThat(player.recognizer.nextDeadline()).isEqualTo(Recognizer.NEVER);
    }

    /** The states that listen change while feet are on their way, also by what they do themselves. */
    @Property
    void keepsCountThoughWhatIsWantedChangesInBetween(
            @ForAll("edges") List<Edge> edges,
            @ForAll("timings") List<Timing> timings,
            @ForAll("wants") Set<Integer> wants,
            @ForAll @Size(min = 1, max = 20) List<@IntRange(max = 200) Integer> changes) {
        Gestures gestures = gestures(timings);
        Set<Integer> wanted = new HashSet<>(wants);
        Player player = new Player(gestures, wanted);
        player.changes = changes.stream().map(n -> n % gestures.count()).toList();
        edges.forEach(player::play);
        for (int contact = 0; contact < CONTACTS; contact++) {
            player.play(new Edge(contact, false, true, MILLIS));
        }
        assertThat(player.recognizer.nextDeadline())
                .as("nothing waits any more")
                .isEqualTo(Recognizer.NEVER);
        long before = Long.MIN_VALUE;
        for (Heard heard : player.heard) {
            assertThat(heard.at).isGreaterThanOrEqualTo(Math.max(heard.began, before));
            before = heard.at;
        }
        for (int source = 0; source < gestures.sources(); source++) {
            checkCounts(player, gestures, source);
        }
    }

    private static void checkCounts(Player player, Gestures gestures, int source) {
        int presses = player.count(gestures.number(source, GestureKind.PRESS));
        assertThat(player.count(gestures.number(source, GestureKind.RELEASE))).isEqualTo(presses);
        assertThat(player.count(gestures.number(source, GestureKind.LATCH_ON))
                        + player.count(gestures.number(source, GestureKind.LATCH_OFF)))
                .isEqualTo(presses);
        int rows = 2 * player.count(gestures.number(source, GestureKind.DOUBLE_TAP))
                + 3 * player.count(gestures.number(source, GestureKind.TRIPLE_TAP));
        assertThat(player.count(gestures.number(source, GestureKind.TAP)) + rows)
                .as("a press counts once")
                .isLessThanOrEqualTo(presses);
        assertThat(player.count(gestures.number(source, GestureKind.HOLD)))
                .isLessThanOrEqualTo(player.count(gestures.number(source, GestureKind.HOLD_END)));
    }

    /** A recognizer and what is heard of it. */
    private static final class Player {
        final List<Heard> heard = new ArrayList<>();
        final Recognizer recognizer;
        private final Set<Integer> wants;
        /** With each thing heard, the next of these is wanted no more, or from now on. */
        List<Integer> changes = List.of();

        long now;

        Player(Gestures gestures, Set<Integer> wants) {
            this.wants = wants;
            recognizer = new Recognizer(gestures, wants::contains, this::hear);
        }

        private void hear(int gesture, long began, long at) {
            heard.add(new Heard(gesture, began, at));
            if (!changes.isEmpty()) {
                int change = changes.get(heard.size() % changes.size());
                if (!wants.add(change)) {
                    wants.remove(change);
                }
            }
        }

        void play(Edge edge) {
            now += edge.afterNanos;
            recognizer.edge(edge.contact, edge.closed, edge.lost, now);
        }

        void advance(long nanos) {
            now += nanos;
            recognizer.advanceTo(now);
        }

        int count(int gesture) {
            return (int) heard.stream().filter(h -> h.gesture == gesture).count();
        }
    }
}
