package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * What it means when gear says something that looks like this. Immutable.
 *
 * @param event raised in the machine; null: none
 * @param set variables and what they become, with the match's values in it
 * @param onAir which angle the gear has on air; null: it says nothing about that
 * @param rolling whether the gear rolls; null: it says nothing about that
 * @param timecode the label that it shows, with the match's values in it; null: it says nothing about that
 */
public record ReplyPattern(
        Match match,
        @Nullable String event,
        Map<String, Template> set,
        @Nullable AngleName onAir,
        @Nullable Boolean rolling,
        @Nullable Template timecode) {
    public ReplyPattern {
        set = Collections.unmodifiableMap(new LinkedHashMap<>(set));
    }

    /** Whether nothing follows from it but what the gear's timecode is. */
    public boolean isOnlyTimecode() {
        return timecode != null && event == null && set.isEmpty() && onAir == null && rolling == null;
    }

    /**
     * An angle in the gear's own words.
     *
     * @param said what the gear calls it, with the match's values in it
     * @param angles from the gear's words to names of angles; empty: the gear uses our names
     */
    public record AngleName(Template said, Map<String, String> angles) {
        public AngleName {
            angles = Map.copyOf(angles);
        }

        /** What the gear called it. */
        public String word(Values values) {
            return said.render(values, Template.Escape.NONE);
        }

        /** Whether it may turn out to be that angle. */
        boolean canBe(String angle) {
            if (!angles.isEmpty()) {
                return angles.containsValue(angle);
            }
            return !said.names().isEmpty() || said.toString().equals(angle);
        }

        /** Our name for it; the gear's own, if there is no other. */
        public String angle(Values values) {
            String word = word(values);
            return angles.isEmpty() ? word : angles.getOrDefault(word, "");
        }
    }
}
