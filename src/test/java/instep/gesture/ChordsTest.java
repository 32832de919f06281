package instep.gesture;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** What takes more contacts than a scenario has. */
class ChordsTest {
    private static final long MILLIS = 1_000_000L;

    /** The first two open as a chord of their own while they wait for the fourth, which leaves the third without hope. */
    @Test
    void letsAContactStandAloneAsSoonAsItsPartnerOpensInAnotherChord() {
        List<Contact> contacts = new ArrayList<>();
        for (int i = 0; i < 4; i++) {
            contacts.add(new Contact("floor", "c" + i, Timing.DEFAULT));
        }
        Gestures gestures = new Gestures(
                contacts,
                List.of(
                        new Gestures.Chord(List.of(0, 1)),
                        new Gestures.Chord(List.of(0, 1, 3)),
                        new Gestures.Chord(List.of(1, 2, 3))),
                List.of());
        List<String> heard = new ArrayList<>();
        Recognizer recognizer = new Recognizer(gestures, gesture -> true, (gesture, began, at) -> {
            String name = gestures.names().get(gesture);
            if (name.endsWith(".press")) {
                heard.add(at / MILLIS + " " + name + " began " + began / MILLIS);
            }
        });
        recognizer.edge(0, true, false, 0);
        recognizer.edge(1, true, false, 10 * MILLIS);
        recognizer.edge(2, true, false, 20 * MILLIS);
        recognizer.edge(0, false, false, 30 * MILLIS);
        recognizer.advanceTo(200 * MILLIS);
        assertThat(heard).containsExactly("30 floor.c0+floor.c1.press began 0", "30 floor.c2.press began 20");
    }
}
