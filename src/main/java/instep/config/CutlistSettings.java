package instep.config;

import instep.cutlist.Layout;
import instep.cutlist.Media;
import instep.cutlist.Refinements;
import instep.cutlist.Sound;
import instep.cutlist.Source;
import instep.time.FrameRate;
import java.util.Map;

/**
 * What a cut list is to be like.
 *
 * @param snap how the ends of what is left out get into pauses
 * @param proxy the file of an angle's proxy, with values in braces; empty: not known
 * @param original the file of what an angle's camera has recorded, in the same way
 */
public record CutlistSettings(
        Refinements refinements, Layout layout, SnapSettings snap, String proxy, String original) {
    /** Of a configuration that says nothing about it. */
    public static CutlistSettings none(FrameRate rate) {
        // The hour is where timelines begin: common practice, no source.
        Layout layout = new Layout(rate, rate.framesPerDay() / 24, 0, Media.ORIGINAL, Sound.NONE);
        return new CutlistSettings(Refinements.NONE, layout, SnapSettings.NONE, "", "");
    }

    /**
     * What is known of an angle during a take.
     *
     * @param reel empty: none
     * @param day as in a date
     */
    public Source source(String angle, String reel, long take, String day) {
        Map<String, String> values =
                Map.of("{angle}", angle, "{reel}", reel, "{take}", String.valueOf(take), "{day}", day);
        return new Source(angle, reel, file(proxy, reel, values), file(original, reel, values));
    }

    /**
     * The file in which pauses are looked for during a take; empty: none is named.
     *
     * @param day as in a date
     */
    public String snapSound(long take, String day) {
        return snap.sound().replace("{take}", String.valueOf(take)).replace("{day}", day);
    }

    private static String file(String pattern, String reel, Map<String, String> values) {
        String file = reel.isEmpty() ? "" : pattern;
        for (Map.Entry<String, String> value : values.entrySet()) {
            file = file.replace(value.getKey(), value.getValue());
        }
        return file;
    }
}
