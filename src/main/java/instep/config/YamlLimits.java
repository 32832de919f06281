package instep.config;

import java.io.StringReader;
import org.yaml.snakeyaml.Yaml;
import org.yaml.snakeyaml.events.Event;
import org.yaml.snakeyaml.reader.StreamReader;

/** How large a configuration may be. A person's file is far below; what is above is a mistake or an attack, and is refused before it costs anything. */
final class YamlLimits {
    /** Bytes of a file. */
    static final int BYTES = 1 << 20;

    /** Collections inside each other. */
    static final int DEPTH = 100;

    /** References to an anchor. */
    static final int ALIASES = 100;

    /** Values, with all aliases written out. */
    static final int VALUES = 20_000;

    private YamlLimits() {}

    /** Whether a limit is exceeded, which is then among the faults. Throws what the parser throws. */
    static boolean exceeded(SourceText source, Faults faults) {
        int[] codePoints = source.text().codePoints().toArray();
        for (int i = 0; i < codePoints.length; i++) {
            if (!StreamReader.isPrintable(codePoints[i])) {
                String before = new String(codePoints, 0, i);
                faults.add(
                        source.placeOfIndex(before.length()),
                        String.format("found the character U+%04X, which no text has; expected YAML", codePoints[i]));
                return true;
            }
        }
        return tooDeep(source, faults);
    }

    private static boolean tooDeep(SourceText source, Faults faults) {
        int depth = 0;
        int aliases = 0;
        for (Event event : new Yaml(YamlTree.options()).parse(new StringReader(source.text()))) {
            String limit = null;
            if (event.is(Event.ID.MappingStart) || event.is(Event.ID.SequenceStart)) {
                limit = ++depth > DEPTH ? "lists and maps are nested deeper than " + DEPTH : null;
            } else if (event.is(Event.ID.MappingEnd) || event.is(Event.ID.SequenceEnd)) {
                depth--;
            } else if (event.is(Event.ID.Alias)) {
                limit = ++aliases > ALIASES ? "there are more than " + ALIASES + " aliases" : null;
            }
            if (limit != null) {
                faults.add(
                        source.place(
                                event.getStartMark().getLine(),
                                event.getStartMark().getColumn()),
                        limit + "; expected less");
                return true;
            }
        }
        return false;
    }
}
