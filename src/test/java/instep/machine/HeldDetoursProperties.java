package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import instep.machine.MachineProperties.Step;
import instep.machine.MachineProperties.Theatre;
import java.util.List;
import java.util.Random;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Assume;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;

/** Nothing sticks: in any chart whose detours each last as long as a contact is closed. */
class HeldDetoursProperties {
    private static final long MILLIS = 1_000_000L;
    private static final long LONG = 5_000 * MILLIS;

    @Provide
    Arbitrary<List<Step>> steps() {
        return MachineProperties.anySteps();
    }

    private static Theatre played(long seed, List<Step> steps) {
        Theatre theatre = new Theatre(RandomChart.withHeldDetours(seed));
        steps.forEach(theatre::play);
        Assume.that(theatre.machine.isRunning());
        return theatre;
    }

    @Property(tries = 150)
    void holdsNothingOnceAllContactsAreOpen(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre theatre = played(seed, steps);
        for (int contact = 0; contact < ChartText.CONTACTS.size(); contact++) {
            theatre.play(new Step(contact, false, 20 * MILLIS));
        }
        theatre.interpreter.advanceTo(theatre.now + LONG);
        checkNothingIsHeld(theatre);
    }

    /** At once, and not by what still waits at that moment either. */
    @Property(tries = 150)
    void holdsNothingOnceTheDevicesAreGone(@ForAll long seed, @ForAll("steps") List<Step> steps) {
        Theatre theatre = played(seed, steps);
        theatre.interpreter.pedalLost("floor", theatre.now);
        theatre.interpreter.pedalLost("box", theatre.now);
        checkNothingIsHeld(theatre);
        theatre.interpreter.advanceTo(theatre.now + LONG);
        checkNothingIsHeld(theatre);
    }

    private static void checkNothingIsHeld(Theatre theatre) {
        if (theatre.machine.isRunning()) {
            assertThat(theatre.machine.openDetours()).as(theatre.text).isZero();
            MachineProperties.checkLegal(theatre);
            if (theatre.machine.onAir() >= 0) {
                assertThat(MachineProperties.anglesOfActiveStates(theatre))
                        .as(theatre.text)
                        .contains(theatre.machine.onAir());
            }
        }
    }

    /** Thousands of edges, gear and devices coming and going: no word of a bug, and it comes to rest. */
    @Property(tries = 10)
    void comesToRestAfterAThousandThings(@ForAll long seed) {
        Random dice = new Random(seed);
        Theatre theatre = new Theatre(RandomChart.withDetours(seed));
        int happenings = ChartText.CONTACTS.size() + RandomChart.EVENTS.size() + 2;
        for (int i = 0; i < 1_000; i++) {
            long after = dice.nextInt(10) == 0 ? -dice.nextInt(1 << 24) : dice.nextInt(1 << dice.nextInt(31));
            theatre.play(new Step(dice.nextInt(happenings), dice.nextBoolean(), after));
            MachineProperties.checkLegal(theatre);
        }
    }
}
