package instep.packaging;

import instep.daemon.Exit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import picocli.CommandLine.Help.Ansi;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;

/**
 * The manual page of a command, from the very model that its {@code --help} is made of: man(7).
 *
 * @param date of the page, as in 2026-01-31
 */
record ManPage(CommandSpec command, String version, String date) {
    private static final String EXIT_STATUS = text(Exit.CODES).strip().replace("Exit codes: ", "");

    /** Such as {@code instep-run}. */
    String name() {
        return command.qualifiedName("-");
    }

    /** In troff. */
    String troff() {
        StringBuilder page = new StringBuilder();
        String title = name().replace("-", "\\-").toUpperCase(Locale.ROOT);
        page.append(".TH \"").append(title).append("\" 1 \"").append(date).append("\" \"instep ");
        page.append(version).append("\" \"User Commands\"\n.nh\n.ad l\n");
        page.append(".SH NAME\n")
                .append(escaped(name()))
                .append(" \\- ")
                .append(escaped(summary()))
                .append('\n');
        page.append(".SH SYNOPSIS\n.B ")
                .append(escaped(command.qualifiedName(" ")))
                .append('\n')
                .append(escaped(synopsis()))
                .append('\n');
        page.append(".SH DESCRIPTION\n")
                .append(paragraphs(List.of(command.usageMessage().description())));
        arguments(page);
        subcommands(page);
        page.append(".SH EXIT STATUS\n").append(escaped(EXIT_STATUS)).append('\n');
        examples(page);
        files(page);
        seeAlso(page);
        return page.toString();
    }

    /** The first sentence of the description, as a list of pages shows it. */
    private String summary() {
        String first = text(command.usageMessage().description()[0]);
        int end = first.indexOf(". ");
        String sentence = (end < 0 ? first : first.substring(0, end)).replaceFirst("\\.$", "");
        return Character.toLowerCase(sentence.charAt(0)) + sentence.substring(1);
    }

    private String synopsis() {
        String usage = command.commandLine().getUsageMessage(Ansi.OFF);
        String line = usage.substring("Usage: ".length()).lines().collect(Collectors.joining("\n"));
        int end = line.indexOf(
                "\n" + text(command.usageMessage().description()[0]).split(" ")[0] + " ");
        String whole = (end < 0 ? line : line.substring(0, end)).replaceAll("\\s+", " ");
        return whole.substring(
                        Math.min(whole.length(), command.qualifiedName(" ").length()))
                .strip();
    }

    private void arguments(StringBuilder page) {
        List<ArgSpec> all = new ArrayList<>(command.positionalParameters());
        command.options().stream().filter(option -> !option.hidden()).forEach(all::add);
        page.append(".SH OPTIONS\n");
        for (ArgSpec argument : all) {
            String label = argument.paramLabel();
            String term = argument instanceof OptionSpec option
                    ? "\\fB"
                            + Arrays.stream(option.names())
                                    .map(ManPage::escaped)
                                    .collect(Collectors.joining("\\fR, \\fB"))
                            + "\\fR" + (option.arity().max() == 0 ? "" : " \\fI" + escaped(label) + "\\fR")
                    : "\\fI" + escaped(label) + "\\fR";
            page.append(".TP\n").append(term).append('\n').append(paragraphs(List.of(argument.description())));
        }
    }

    private void subcommands(StringBuilder page) {
        List<CommandSpec> children = visible(command);
        if (children.isEmpty()) {
            return;
        }
        page.append(".SH COMMANDS\n");
        for (CommandSpec child : children) {
            page.append(".TP\n\\fB")
                    .append(escaped(child.qualifiedName("-")))
                    .append("\\fR(1)\n")
                    .append(paragraphs(List.of(child.usageMessage().description())));
        }
    }

    private void examples(StringBuilder page) {
        page.append(".SH EXAMPLES\n.nf\n");
        Arrays.stream(command.usageMessage().footer())
                .filter(line -> !line.equals(Exit.CODES))
                .map(line -> text(line).replace("java -jar instep.jar", "instep"))
                .forEach(line -> page.append(escaped(line)).append('\n'));
        page.append(".fi\n");
    }

    private void files(StringBuilder page) {
        page.append(".SH FILES\n");
        file(page, "/etc/instep/instep.yaml", "The mapping that the service reads.");
        file(page, "/etc/instep/secrets/", "One file for each secret that a mapping names; for root alone.");
        file(page, "/var/lib/instep/", "The service's journals and its event log, readable by the group instep.");
        file(page, "/usr/share/doc/instep/docs/", "The language of mappings, the journal, and how to install.");
    }

    private static void file(StringBuilder page, String path, String words) {
        page.append(".TP\n\\fI")
                .append(escaped(path))
                .append("\\fR\n")
                .append(escaped(words))
                .append('\n');
    }

    private void seeAlso(StringBuilder page) {
        CommandSpec parent = command.parent();
        List<CommandSpec> others = parent == null
                ? visible(command)
                : visible(parent).stream().filter(other -> other != command).toList();
        List<String> names = new ArrayList<>(
                others.stream().map(other -> other.qualifiedName("-")).toList());
        if (parent != null) {
            names.add(0, parent.qualifiedName("-"));
        }
        page.append(".SH SEE ALSO\n");
        page.append(names.stream()
                        .map(name -> "\\fB" + escaped(name) + "\\fR(1)")
                        .collect(Collectors.joining(",\n")))
                .append('\n');
    }

    static List<CommandSpec> visible(CommandSpec command) {
        return command.subcommands().values().stream()
                .map(line -> line.getCommandSpec())
                .filter(spec -> !spec.usageMessage().hidden())
                .distinct()
                .toList();
    }

    private static String paragraphs(List<String> lines) {
        return lines.stream().map(line -> escaped(text(line)).strip() + "\n").collect(Collectors.joining(".br\n"));
    }

    /** Picocli's texts are format strings. */
    private static String text(String format) {
        return String.format(Locale.ROOT, format);
    }

    /** What troff would take for its own: groff_char(7), man-pages(7). */
    private static String escaped(String text) {
        return text.replace("\\", "\\e")
                .replace("-", "\\-")
                .replace("'", "\\(aq")
                .replace("^", "\\(ha")
                .replace("~", "\\(ti")
                .replace("`", "\\(ga")
                .lines()
                .map(line -> line.startsWith(".") ? "\\&" + line : line)
                .collect(Collectors.joining("\n"));
    }
}
