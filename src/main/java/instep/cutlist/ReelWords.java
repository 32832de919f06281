package instep.cutlist;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import java.util.regex.Pattern;

/**
 * Knows the angle of a recording by names. What counts, the surest first: a pattern that somebody has written for the angle's files, the reel's name in the file, the reel in the file's
 * name, the reel in the names of its folders, the angle in the file's name, the angle in the names of its folders. A word is found where neither letters join letters nor digits join
 * digits: {@code A001} in {@code A001C003.mov}, but not in {@code A0012.mov}. Capitals do not matter. Of two that are found in the same way, one that is a part of the other does not count.
 */
final class ReelWords {
    private final Recording recording;
    private final String file;
    private final String folders;

    private ReelWords(Recording recording) {
        this.recording = recording;
        int slash = recording.name().lastIndexOf('/');
        int dot = recording.name().lastIndexOf('.');
        this.file = recording
                .name()
                .substring(slash + 1, dot > slash ? dot : recording.name().length());
        this.folders = slash < 0 ? "" : recording.name().substring(0, slash);
    }

    /** The angles that it may be of: one, if all is well. */
    static List<Slate.Angle> angles(Recording recording, List<Slate.Angle> among) {
        ReelWords words = new ReelWords(recording);
        for (Slate.Angle angle : among) {
            if (!angle.files().isEmpty() && words.isAs(angle.files())) {
                return among.stream()
                        .filter(one -> !one.files().isEmpty() && words.isAs(one.files()))
                        .toList();
            }
        }
        List<Slate.Angle> open =
                among.stream().filter(angle -> angle.files().isEmpty()).toList();
        return words.byName(open);
    }

    private List<Slate.Angle> byName(List<Slate.Angle> among) {
        List<Slate.Angle> own = new ArrayList<>(among);
        own.removeIf(angle -> angle.reel().isEmpty()
                || !angle.reel().equalsIgnoreCase(recording.reel().strip()));
        List<List<Slate.Angle>> found = List.of(
                own,
                with(file, Slate.Angle::reel, among),
                with(folders, Slate.Angle::reel, among),
                with(file, Slate.Angle::name, among),
                with(folders, Slate.Angle::name, among));
        return found.stream().filter(some -> !some.isEmpty()).findFirst().orElse(List.of());
    }

    private static List<Slate.Angle> with(String in, Function<Slate.Angle, String> name, List<Slate.Angle> among) {
        List<Slate.Angle> found =
                among.stream().filter(angle -> hasWord(in, name.apply(angle))).toList();
        return found.stream()
                .filter(angle -> found.stream().noneMatch(other -> isWithin(name.apply(angle), name.apply(other))))
                .toList();
    }

    private static boolean isWithin(String name, String longer) {
        return name.length() < longer.length() && hasWord(longer, name);
    }

    /** Whether a name has that word in it. */
    static boolean hasWord(String name, String word) {
        String text = name.toLowerCase(Locale.ROOT);
        String sought = word.toLowerCase(Locale.ROOT);
        for (int at = text.indexOf(sought); !sought.isEmpty() && at >= 0; at = text.indexOf(sought, at + 1)) {
            int end = at + sought.length();
            if ((at == 0 || !joined(text.charAt(at - 1), text.charAt(at)))
                    && (end == text.length() || !joined(text.charAt(end - 1), text.charAt(end)))) {
                return true;
            }
        }
        return false;
    }

    private static boolean joined(char before, char after) {
        return (Character.isLetter(before) && Character.isLetter(after))
                || (Character.isDigit(before) && Character.isDigit(after));
    }

    /** A pattern with {@code *} for anything and {@code ?} for one character is that of the file's name, with {@code /} in it that of the end of its path. */
    private boolean isAs(String pattern) {
        StringBuilder regex = new StringBuilder("(?:.*/)?");
        for (int i = 0; i < pattern.length(); i++) {
            char c = pattern.charAt(i);
            regex.append(c == '*' ? ".*" : c == '?' ? "." : Pattern.quote(String.valueOf(c)));
        }
        return Pattern.compile(regex.toString(), Pattern.CASE_INSENSITIVE | Pattern.UNICODE_CASE)
                .matcher(recording.name())
                .matches();
    }
}
