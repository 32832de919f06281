package instep.edit;

import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;

/**
 * Reel names for an edit decision list of CMX 3600: one to eight of the letters A to Z, digits and the underscore, no two alike, and none of those with a meaning of
 * their own. A name that is one already stays. Of another, letters become capitals, anything else an underscore, and what is too long is cut off; where two would be alike, the
 * later one ends in a number.
 */
final class ReelNames {
    /** What stands for a source of which no reel is known. */
    static final String AUXILIARY = "AX";

    static final int LONGEST = 8;
    /** Black, colour bars and auxiliary: sources without a reel. */
    private static final List<String> TAKEN = List.of("BL", "BLACK", "BARS", AUXILIARY);

    private final Map<String, String> byReel = new LinkedHashMap<>();

    ReelNames(Collection<String> reels) {
        Set<String> taken = new LinkedHashSet<>(TAKEN);
        for (String reel : reels) {
            if (plain(reel).equals(reel) && taken.add(reel)) {
                byReel.put(reel, reel);
            }
        }
        for (String reel : reels) {
            byReel.computeIfAbsent(reel, r -> free(plain(r), taken));
        }
    }

    /** The name in the list. */
    String of(String reel) {
        return reel.isEmpty() ? AUXILIARY : byReel.getOrDefault(reel, AUXILIARY);
    }

    private static String plain(String reel) {
        String plain = reel.toUpperCase(Locale.ROOT).replaceAll("[^A-Z0-9_]", "_");
        return plain.substring(0, Math.min(LONGEST, plain.length()));
    }

    private static String free(String plain, Set<String> taken) {
        String name = plain;
        for (int number = 2; !taken.add(name); number++) {
            String end = String.valueOf(number);
            name = plain.substring(0, Math.min(plain.length(), LONGEST - end.length())) + end;
        }
        return name;
    }
}
