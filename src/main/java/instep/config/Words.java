package instep.config;

import instep.machine.Place;
import java.util.Collection;
import java.util.Comparator;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/** Words in sentences for a person: in quotation marks, in lists, and the one that was probably meant. */
public final class Words {
    private static final int QUOTED = 60;
    private static final int LISTED = 14;
    private static final Pattern SORT = Pattern.compile("([0-9]+[.]?[0-9]*)[ -]?([a-z])[a-z]*");
    private static final Pattern NUMBER = Pattern.compile("[0-9]{1,9}(\\.[0-9]{1,9})?");

    private Words() {}

    /** In quotation marks, shortened, and without characters that a terminal would obey. */
    static String quote(String text) {
        StringBuilder out = new StringBuilder("\"");
        text.codePoints().limit(QUOTED).forEach(c -> {
            if (Character.isISOControl(c)) {
                out.append(String.format("\\u%04x", c));
            } else {
                out.appendCodePoint(c);
            }
        });
        return out.append(text.codePointCount(0, text.length()) > QUOTED ? "…\"" : "\"")
                .toString();
    }

    /** With its article. */
    static String one(String what) {
        return what.equals("gear") ? what : ("aeiou".indexOf(what.charAt(0)) < 0 ? "a " : "an ") + what;
    }

    /** Where something else stands, as seen from here. */
    static String at(Place place, Place here) {
        String at = "on line " + place.line() + ", column " + place.column();
        return place.file().equals(here.file()) ? at : at + " of " + place.file();
    }

    /** {@code a, b or c}. */
    public static String either(Collection<String> words) {
        StringBuilder out = new StringBuilder();
        Iterator<String> rest = words.iterator();
        for (int i = 0; rest.hasNext(); i++) {
            String word = rest.next();
            if (i > 0) {
                out.append(rest.hasNext() ? ", " : " or ");
            }
            if (i == LISTED) {
                return out.append("others").toString();
            }
            out.append(word);
        }
        return out.toString();
    }

    /** What could have been written instead: the nearest word, else the list of all. */
    static String hint(String word, Collection<String> valid, Faults faults) {
        Optional<String> near = faults.mayGuess() ? nearest(word, valid) : Optional.empty();
        if (near.isPresent()) {
            return "; did you mean " + quote(near.get()) + "?";
        }
        return valid.isEmpty() ? "" : "; expected " + either(valid);
    }

    /** The nearest word by edit distance, if one is near enough to have been meant. */
    public static Optional<String> nearest(String word, Collection<String> valid) {
        if (NUMBER.matcher(word).matches()) {
            return nearestNumber(word, valid);
        }
        Optional<String> sort = sameSort(word, valid);
        if (sort.isPresent()) {
            return sort;
        }
        String given = word.toLowerCase(Locale.ROOT);
        String best = null;
        int least = Integer.MAX_VALUE;
        for (String candidate : valid) {
            String wanted = candidate.toLowerCase(Locale.ROOT);
            int allowed = allowed(Math.min(given.length(), wanted.length()));
            if (Math.abs(given.length() - wanted.length()) <= allowed) {
                int distance = distance(given, wanted);
                if (distance <= allowed && distance < least) {
                    least = distance;
                    best = candidate;
                }
            }
        }
        return Optional.ofNullable(best);
    }

    /** With that number at its beginning and that letter after it: {@code 29.97df} is 29.97-drop, though 29.97 is nearer. */
    private static Optional<String> sameSort(String word, Collection<String> valid) {
        Matcher given = SORT.matcher(word.toLowerCase(Locale.ROOT));
        return given.matches()
                ? valid.stream()
                        .filter(candidate -> {
                            Matcher wanted = SORT.matcher(candidate.toLowerCase(Locale.ROOT));
                            return wanted.matches()
                                    && wanted.group(1).equals(given.group(1))
                                    && wanted.group(2).equals(given.group(2));
                        })
                        .findFirst()
                : Optional.empty();
    }

    /** Of numbers the one next to it, if it is within a tenth. */
    private static Optional<String> nearestNumber(String number, Collection<String> valid) {
        double given = Double.parseDouble(number);
        return valid.stream()
                .filter(word -> NUMBER.matcher(word).matches())
                .min(Comparator.comparingDouble(word -> Math.abs(Double.parseDouble(word) - given)))
                .filter(word -> Math.abs(Double.parseDouble(word) - given) <= given / 10);
    }

    private static int allowed(int length) {
        return length < 4 ? 1 : Math.max(2, length / 3);
    }

    /** Insertions, deletions, substitutions and swaps of neighbours that make one word of the other. */
    static int distance(String a, String b) {
        int[] beforeLast = new int[b.length() + 1];
        int[] last = new int[b.length() + 1];
        int[] row = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) {
            last[j] = j;
        }
        for (int i = 1; i <= a.length(); i++) {
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                boolean same = a.charAt(i - 1) == b.charAt(j - 1);
                int least = Math.min(Math.min(last[j], row[j - 1]) + 1, last[j - 1] + (same ? 0 : 1));
                if (i > 1 && j > 1 && a.charAt(i - 1) == b.charAt(j - 2) && a.charAt(i - 2) == b.charAt(j - 1)) {
                    least = Math.min(least, beforeLast[j - 2] + 1);
                }
                row[j] = least;
            }
            int[] oldest = beforeLast;
            beforeLast = last;
            last = row;
            row = oldest;
        }
        return last[b.length()];
    }

    /** Lines on which something stands, for a person who is in that file: {@code line 3}, {@code lines 3 and 7}, {@code line 3, and line 9 of b.yaml}. */
    static String lines(List<Place> places, String here) {
        Map<String, List<Integer>> byFile = places.stream()
                .collect(Collectors.groupingBy(
                        Place::file, LinkedHashMap::new, Collectors.mapping(Place::line, Collectors.toList())));
        return byFile.entrySet().stream()
                .map(file -> lines(file.getValue().stream().sorted().toList())
                        + (file.getKey().equals(here) ? "" : " of " + file.getKey()))
                .collect(Collectors.joining(", and "));
    }

    private static String lines(List<Integer> lines) {
        List<Integer> distinct = lines.stream().distinct().toList();
        if (distinct.size() == 1) {
            return "line " + distinct.get(0);
        }
        List<String> shown = distinct.stream().limit(8).map(String::valueOf).toList();
        int last = shown.size() - 1;
        return distinct.size() > shown.size()
                ? "lines " + String.join(", ", shown) + " and others"
                : "lines " + String.join(", ", shown.subList(0, last)) + " and " + shown.get(last);
    }
}
