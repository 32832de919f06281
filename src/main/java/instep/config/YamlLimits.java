package instep.config;

import java.io.StringReader;
import java.util.Optional;
import org.yaml.snakeyaml.Yaml;
import org.yaml.snakeyaml.events.Event;
import org.yaml.snakeyaml.reader.StreamReader;

/**
 * How large a configuration may be, counted over all its files. A person's file is far below; what is above is a mistake or an attack, and is refused before it costs anything: a tree of it may not fit beside the
 * running desk, and without memory that desk ends.
 */
final class YamlLimits {
    /** Bytes of a file. */
    static final int BYTES = 256 << 10;

    /** Collections inside each other. */
    static final int DEPTH = 100;

    /** References to an anchor. */
    static final int ALIASES = 100;

    /** Values of all files, with all aliases written out. */
    static final int VALUES = 20_000;

    /** As people read it. */
    static final String SIZE = (BYTES >> 10) + " KiB";

    private int depth;
    private int aliases;
    private int values;

    /** Whether a file exceeds a limit, alone or together with those before it; which is then among the faults. Throws what the parser throws. */
    boolean isExceeded(SourceText source, Faults faults) {
        String text = source.text();
        int codePoint;
        for (int at = 0; at < text.length(); at += Character.charCount(codePoint)) {
            codePoint = text.codePointAt(at);
            if (!StreamReader.isPrintable(codePoint)) {
                faults.add(
                        source.placeOfIndex(at),
                        String.format("found the character U+%04X, which no text has; expected YAML", codePoint));
                return true;
            }
        }
        depth = 0;
        for (Event event : new Yaml(YamlTree.options()).parse(new StringReader(text))) {
            Optional<String> limit = exceededBy(event);
            if (limit.isPresent()) {
                faults.add(
                        source.place(
                                event.getStartMark().getLine(),
                                event.getStartMark().getColumn()),
                        limit.get() + "; expected less");
                return true;
            }
        }
        return false;
    }

    /** The parser tells of one value after the other, and keeps none. */
    private Optional<String> exceededBy(Event event) {
        if (event.is(Event.ID.MappingEnd) || event.is(Event.ID.SequenceEnd)) {
            depth--;
        } else if (event.is(Event.ID.Alias) && ++aliases > ALIASES) {
            return Optional.of("there are more than " + ALIASES + " aliases");
        } else if (event.is(Event.ID.Scalar) || isBegin(event)) {
            if (isBegin(event) && ++depth > DEPTH) {
                return Optional.of("lists and maps are nested deeper than " + DEPTH);
            } else if (++values > VALUES) {
                return Optional.of("there are more than " + String.format("%,d", VALUES) + " values");
            }
        }
        return Optional.empty();
    }

    private static boolean isBegin(Event event) {
        return event.is(Event.ID.MappingStart) || event.is(Event.ID.SequenceStart);
    }
}
