package instep.config;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalInt;
import org.jspecify.annotations.Nullable;
import org.yaml.snakeyaml.error.Mark;
import org.yaml.snakeyaml.error.MarkedYAMLException;
import org.yaml.snakeyaml.error.YAMLException;

/** The parser's complaints in words for a person who has never seen YAML. */
final class YamlSyntax {
    private static final String NO_KEY_HERE = "mapping values are not allowed";

    /** What the parser's sentence contains, and what is said instead; {@code %s} is the beginning of what it was reading. */
    private static final Map<String, String> SENTENCES = new LinkedHashMap<>();

    static {
        SENTENCES.put("TAB", "found a tab; expected spaces (YAML indents by spaces only)");
        SENTENCES.put(
                NO_KEY_HERE,
                "found a colon where no key can stand; expected the same indentation as the"
                        + " line above, or quotation marks around text with a colon in it");
        SENTENCES.put(
                "expected <block end>, but found '<block mapping start>'",
                "found a line that is indented more or less than"
                        + " its neighbours%s; expected keys of one map below each other");
        SENTENCES.put(
                "expected <block end>",
                "found something that does not belong to the list or map%s; expected one"
                        + " \"key: value\" or \"- item\" a line, below each other");
        SENTENCES.put("could not find expected ':'", "found a key without a colon%s; expected \"key: value\"");
        SENTENCES.put("expected ',' or ']'", "found a list that is not closed%s; expected a comma or ]");
        SENTENCES.put("expected ',' or '}'", "found a map that is not closed%s; expected a comma or }");
        SENTENCES.put("found undefined alias", "found an alias of an anchor that does not exist; expected a value");
        SENTENCES.put(
                "unknown escape character",
                "found a backslash with a character that has no meaning after it; expected"
                        + " \\\\ for a backslash, or single quotation marks around the text");
        SENTENCES.put("but found another document", "found a second document; expected one configuration a file");
        SENTENCES.put(
                "that cannot start any token",
                "found a character with which no value begins; expected quotation marks" + " around the text");
        SENTENCES.put(
                "expected '<document start>'",
                "found something that belongs to nothing before it; expected \"key: value\""
                        + " at the beginning of a line");
        SENTENCES.put(
                "expected the node content",
                "found a sign where a value was expected%s; expected text, a list or a map");
        SENTENCES.put(
                "mapping keys are not allowed",
                "found a question mark where no value can begin; expected quotation marks" + " around the text");
        SENTENCES.put(
                "sequence entries are not allowed",
                "found a dash where no list can begin; expected the list below its"
                        + " key, or quotation marks around the text");
        SENTENCES.put(
                "comment or a line break",
                "found text behind the sign | or >; expected the text on the lines below, or"
                        + " quotation marks around it");
        SENTENCES.put(
                "chomping or indentation",
                "found text behind the sign | or >; expected the text on the lines below, or"
                        + " quotation marks around it");
        SENTENCES.put(
                "alphabetic or numeric",
                "found the sign &, * or % without a name behind it; expected quotation marks" + " around the text");
        SENTENCES.put(
                "unexpected character found",
                "found the sign &, * or ! where no value can begin; expected quotation marks" + " around the text");
        SENTENCES.put(
                "expected URI", "found the sign ! where no value can begin; expected quotation marks around the text");
        SENTENCES.put(
                "escape sequence",
                "found a backslash with a character that has no meaning after it; expected \\\\ for a"
                        + " backslash, or single quotation marks around the text");
    }

    private YamlSyntax() {}

    /** Adds the complaint to the faults. */
    static void add(YAMLException complaint, SourceText source, Faults faults) {
        if (complaint instanceof MarkedYAMLException marked && marked.getProblemMark() != null) {
            add(marked, source, faults);
        } else {
            faults.add(source.place(0, 0), "this is not YAML: " + firstLine(complaint.getMessage()));
        }
    }

    private static void add(MarkedYAMLException complaint, SourceText source, Faults faults) {
        String problem = firstLine(complaint.getProblem());
        Mark context = complaint.getContextMark();
        Mark at = complaint.getProblemMark();
        if (problem.contains("unexpected end of stream") && context != null) {
            faults.add(
                    source.place(context.getLine(), context.getColumn()),
                    "found a quotation mark that is never closed; expected another one at the end of the text");
            return;
        }
        OptionalInt glued = problem.contains(NO_KEY_HERE) ? source.gluedBefore(at.getLine()) : OptionalInt.empty();
        if (glued.isPresent()) {
            missesSpace(glued.getAsInt(), source, faults);
            return;
        }
        String begun = context == null || context.getLine() == at.getLine()
                ? ""
                : " (begun on line " + (context.getLine() + 1) + ")";
        String sentence = SENTENCES.entrySet().stream()
                .filter(e -> problem.contains(e.getKey()))
                .map(e -> e.getValue().replace("%s", begun))
                .findFirst()
                .orElse("this is not YAML: " + problem);
        faults.add(source.place(at.getLine(), at.getColumn()), sentence);
    }

    private static void missesSpace(int line, SourceText source, Faults faults) {
        String text = source.line(line);
        int column = text.indexOf(':') + 1;
        faults.add(
                source.place(line, column),
                "is a space missing after this colon? expected \""
                        + text.strip().replaceFirst(":", ": ") + "\"");
    }

    private static String firstLine(@Nullable String text) {
        return text == null ? "it cannot be read" : text.lines().findFirst().orElse("it cannot be read");
    }
}
