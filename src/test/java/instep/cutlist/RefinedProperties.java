package instep.cutlist;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;

/** What holds after every combination of refinements, whatever the feet did. */
class RefinedProperties {
    private static final long START = 2_159_900;

    @Property(tries = 2_000)
    void spansAndDroppedPassagesAreTheTakeFrameByFrame(@ForAll("takes") Take take, @ForAll("wishes") Refinements by) {
        Refined refined = Refined.of(take, by);
        List<long[]> pieces = new ArrayList<>();
        refined.spans().forEach(span -> pieces.add(new long[] {span.in(), span.out()}));
        refined.dropped().forEach(passage -> pieces.add(new long[] {passage.in(), passage.out()}));
        pieces.sort(Comparator.comparingLong(piece -> piece[0]));
        long at = take.in();
        for (long[] piece : pieces) {
            assertThat(piece[0]).isEqualTo(at);
            at = piece[1];
        }
        assertThat(at).isEqualTo(take.out());
    }

    @Property(tries = 2_000)
    void whatIsMissingIsReportedAsDropped(@ForAll("takes") Take take, @ForAll("wishes") Refinements by) {
        Refined refined = Refined.of(take, by);
        assertThat(refined.frames())
                .isEqualTo(take.frames()
                        - refined.changes().stream().mapToLong(Change::frames).sum());
    }

    @Property(tries = 2_000)
    void refiningTwiceChangesNothing(@ForAll("takes") Take take, @ForAll("wishes") Refinements by) {
        Refined once = Refined.of(take, by);
        Refined twice = once.refine(by, Pauses.NONE);
        assertThat(twice.spans()).isEqualTo(once.spans());
        assertThat(twice.passages()).isEqualTo(once.passages());
    }

    @Property(tries = 3_000)
    void movingTheEndsOfPassagesToPausesKeepsTheTakeTogether(
            @ForAll("takes") Take take, @ForAll("wishes") Refinements by, @ForAll("pauses") Pauses pauses) {
        Refined refined = Refined.of(take, by, pauses);
        List<long[]> pieces = new ArrayList<>();
        refined.spans().forEach(span -> pieces.add(new long[] {span.in(), span.out()}));
        refined.dropped().forEach(passage -> pieces.add(new long[] {passage.in(), passage.out()}));
        pieces.sort(Comparator.comparingLong(piece -> piece[0]));
        long at = take.in();
        for (long[] piece : pieces) {
            assertThat(piece[0]).isEqualTo(at);
            at = piece[1];
        }
        assertThat(at).isEqualTo(take.out());
        assertThat(refined.frames())
                .isEqualTo(take.frames()
                        - refined.changes().stream().mapToLong(Change::frames).sum());
        Refined twice = refined.refine(by, pauses);
        assertThat(twice.spans()).isEqualTo(refined.spans());
        assertThat(twice.passages()).isEqualTo(refined.passages());
    }

    /** What one passage may be moved by, it may be moved by as two that lie against each other, too. */
    @Property(tries = 2_000)
    void noEndIsMovedFurtherThanItMayBe(
            @ForAll("takes") Take take, @ForAll("wishes") Refinements by, @ForAll("pauses") Pauses pauses) {
        for (Passage passage : Refined.of(take, by, pauses).dropped()) {
            assertThat(Math.abs(passage.in() - passage.decidedIn())).isLessThanOrEqualTo(pauses.within());
            assertThat(Math.abs(passage.out() - passage.decidedOut())).isLessThanOrEqualTo(pauses.within());
        }
    }

    @Provide
    Arbitrary<Pauses> pauses() {
        Arbitrary<Long> lengths = Arbitraries.longs().between(1, 20);
        return Combinators.combine(
                        lengths.list().ofMaxSize(30), Arbitraries.longs().between(0, 25))
                .as((all, within) -> {
                    List<Pauses.Pause> pauses = new ArrayList<>();
                    long at = START;
                    for (int i = 0; i + 1 < all.size(); i += 2) {
                        at += all.get(i);
                        pauses.add(new Pauses.Pause(at, at + all.get(i + 1)));
                        at += all.get(i + 1);
                    }
                    return new Pauses(pauses, within);
                });
    }

    /** A stretch that is too short as a whole is all that there is between what was left out and the ends of the take. */
    @Property(tries = 2_000)
    void noShotIsShorterThanTheShortestUnlessThereIsNothingToJoinItTo(
            @ForAll("takes") Take take, @ForAll("wishes") Refinements by) {
        Refined refined = Refined.of(take, by);
        for (List<Span> run : SpanList.runs(refined.spans())) {
            for (Span span : run) {
                assertThat(span.frames() >= by.minimumShot() || run.size() == 1).isTrue();
            }
        }
        boolean cutUp =
                refined.dropped().stream().anyMatch(passage -> passage.why().equals(Refined.RETAKE));
        if (cutUp) {
            assertThat(refined.spans())
                    .allSatisfy(span -> assertThat(span.frames()).isGreaterThanOrEqualTo(by.minimumShot()));
        }
    }

    @Property(tries = 2_000)
    void aLeadNeitherReordersNorInventsNorDelays(@ForAll("takes") Take take, @ForAll("wishes") Refinements by) {
        Refinements without =
                new Refinements(0, 0, by.minimumShot(), by.mergeWithin(), by.retake(), by.head(), by.tail());
        List<Span> plain = Refined.of(take, without).spans();
        List<Span> led = Refined.of(take, by).spans();
        assertThat(led)
                .extracting(Span::angle)
                .isEqualTo(plain.stream().map(Span::angle).toList());
        for (int i = 0; i < led.size(); i++) {
            long lead = led.get(i).returning() ? by.leadReturning() : by.leadGoing();
            assertThat(plain.get(i).in() - led.get(i).in()).isBetween(0L, lead);
        }
    }

    @Property(tries = 2_000)
    void joinedNeighboursShowDifferentAngles(@ForAll("takes") Take take, @ForAll("wishes") Refinements by) {
        for (List<Span> run : SpanList.runs(Refined.of(take, by).spans())) {
            for (int i = 1; i < run.size(); i++) {
                assertThat(run.get(i).angle()).isNotEqualTo(run.get(i - 1).angle());
            }
        }
    }

    @Property(tries = 2_000)
    void noAngleComesBackAsSoonAsItWasNotToBeLeft(@ForAll("takes") Take take, @ForAll("wishes") Refinements by) {
        for (List<Span> run :
                SpanList.runs(SpanList.asDecided(Refined.of(take, by).spans()))) {
            for (int i = 2; i < run.size(); i++) {
                assertThat(run.get(i).angle().equals(run.get(i - 2).angle())
                                && run.get(i - 1).frames() <= by.mergeWithin())
                        .isFalse();
            }
        }
    }

    @Property
    void withoutAnyRefinementATakeIsWhatItWas(@ForAll("takes") Take take) {
        Refined refined = Refined.of(take, Refinements.NONE);
        assertThat(refined.spans())
                .isEqualTo(take.shots().stream().map(Span::of).toList());
        assertThat(refined.changes()).isEmpty();
    }

    @Provide
    Arbitrary<Take> takes() {
        Arbitrary<TakeEvent> event = Combinators.combine(
                        Arbitraries.of("wide", "wheel", "hands"),
                        Arbitraries.longs().between(0, 300),
                        Arbitraries.integers().between(0, 9),
                        Arbitraries.of(true, false))
                .as((angle, frame, what, returning) -> switch (what) {
                    case 0, 1 -> new TakeEvent.Marked(new Mark(Mark.RETAKE, "", START + frame));
                    case 2 -> new TakeEvent.Marked(new Mark(Mark.CLEAN, "", START + frame));
                    case 3 -> new TakeEvent.Marked(new Mark(Mark.CHAPTER, "step", START + frame));
                    default -> new TakeEvent.Cut(angle, START + frame, returning);
                });
        Arbitrary<Long> ends = Arbitraries.longs().between(0, 300);
        return Combinators.combine(event.list().ofMaxSize(30), ends).as((events, end) -> {
            List<TakeEvent> all = new ArrayList<>(events);
            all.sort(Comparator.comparingLong(TakeEvent::frame));
            List<Take> found = new ArrayList<>();
            Takes takes = new Takes(found::add);
            takes.accept(new TakeEvent.Opened(1, START));
            all.forEach(takes::accept);
            takes.accept(new TakeEvent.Closed(1, START + end));
            return found.get(0);
        });
    }

    @Provide
    Arbitrary<Refinements> wishes() {
        Arbitrary<Long> few = Arbitraries.longs().between(0, 20);
        Arbitrary<Retake> retake = Combinators.combine(
                        Arbitraries.of(Retake.Fate.class),
                        Arbitraries.of(Retake.CleanPoint.class).set(),
                        Arbitraries.longs().between(0, 60))
                .as((fate, since, atMost) -> new Retake(fate, Set.copyOf(since), atMost));
        return Combinators.combine(few, few, few, few, retake, few, few).as(Refinements::new);
    }
}
