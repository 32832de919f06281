package instep.daemon;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.gear.Rack;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * What the configuration's files hold at the moment, beside what is in force: settings with what they need of gear; or, where nothing differs, settings alone; or words for what is wrong.
 */
record Draft(@Nullable Settings settings, Rack.@Nullable Parts parts, String fault) {
    private static final int MOST_FAULTS = 6;

    /** On a thread of its own: reading takes longer than anything may that a press could have to wait for. */
    static Draft read(List<Path> files, Settings inForce, Reloading.Desk desk) {
        try {
            Settings settings = ConfigReader.read(files);
            if (settings.text().equals(inForce.text())) {
                return new Draft(settings, null, "");
            }
            String fixed = fixed(inForce, settings);
            return fixed.isEmpty() ? new Draft(settings, desk.parts(settings), "") : new Draft(null, null, fixed);
        } catch (ConfigException e) {
            return new Draft(null, null, words(e));
        } catch (StackOverflowError e) {
            return new Draft(null, null, "it is nested too deeply to be read");
        }
    }

    /** What counts from a start on. */
    static String fixed(Settings inForce, Settings next) {
        String what = !inForce.timecode().equals(next.timecode())
                ? "timecode"
                : !inForce.journal().equals(next.journal())
                        ? "journal"
                        : !Objects.equals(inForce.desk(), next.desk()) ? "desk" : "";
        return what.isEmpty()
                ? ""
                : next.file() + ": the section " + what + " differs, and that counts from a restart only;"
                        + " restart Instep between two lessons, or set it back";
    }

    /** The first faults, each in a line with its place. */
    static String words(ConfigException fault) {
        StringBuilder words = new StringBuilder();
        fault.faults().stream()
                .limit(MOST_FAULTS)
                .forEach(one -> words.append(one.place())
                        .append(": ")
                        .append(one.text())
                        .append('\n'));
        int more = fault.faults().size() - MOST_FAULTS;
        return words + (more > 0 ? "and " + more + " more: instep check tells them all\n" : "");
    }
}
