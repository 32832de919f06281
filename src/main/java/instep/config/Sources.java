package instep.config;

import instep.machine.Place;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * The texts that a configuration is made of, the first below all others. Several can be written as one text and read again, each behind a line
 * that names its file: so the journal holds all of them, and what it holds can be read as a configuration.
 */
record Sources(List<SourceText> texts) {
    /** The line before each of several texts: YAML's mark of a document, with the file as a remark. */
    private static final Pattern MARK = Pattern.compile("(?md)^--- # file: (.+)\n");

    Sources {
        texts = List.copyOf(texts);
    }

    /** The text of a file, or several that were written as one. */
    static Sources of(String file, String text) {
        String plain = text.startsWith("\ufeff") ? text.substring(1) : text;
        Matcher mark = MARK.matcher(plain);
        if (!mark.lookingAt()) {
            return new Sources(List.of(new SourceText(file, plain)));
        }
        List<SourceText> texts = new ArrayList<>();
        int begin = mark.end();
        String name = mark.group(1);
        while (mark.find()) {
            texts.add(new SourceText(name, plain.substring(begin, mark.start())));
            begin = mark.end();
            name = mark.group(1);
        }
        texts.add(new SourceText(name, plain.substring(begin)));
        return new Sources(texts);
    }

    /** The files as the user named them. */
    String file() {
        return texts.stream().map(SourceText::file).collect(Collectors.joining(" + "));
    }

    /** All of it as one text. */
    String text() {
        if (texts.size() == 1) {
            return texts.get(0).text();
        }
        return texts.stream()
                .map(source -> "--- # file: " + oneLine(source.file()) + "\n" + source.text()
                        + (source.text().endsWith("\n") ? "" : "\n"))
                .collect(Collectors.joining());
    }

    private static String oneLine(String file) {
        return file.replaceAll("\\p{Cntrl}", "?");
    }

    /** Which of the files a place is in, counted from 0. */
    int order(Place place) {
        for (int i = 0; i < texts.size(); i++) {
            if (texts.get(i).file().equals(place.file())) {
                return i;
            }
        }
        return 0;
    }

    /** The line of its file, with a caret below the place. */
    String excerpt(Place place) {
        return texts.get(order(place)).excerpt(place);
    }
}
