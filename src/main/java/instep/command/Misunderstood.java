package instep.command;

import instep.config.Words;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import picocli.CommandLine;
import picocli.CommandLine.MissingParameterException;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.UnmatchedArgumentException;

/** What is said of a command line that cannot be meant: the cause, in words of ours, and where the options are told. */
public final class Misunderstood {
    private Misunderstood() {}

    /** For a command that does nothing by itself: it tells those that it has. */
    public static ParameterException whichCommand(CommandLine line) {
        return new ParameterException(
                line,
                "say which command: " + String.join(", ", line.getSubcommands().keySet()));
    }

    /** On standard error; returns the exit code. */
    public static int tell(ParameterException fault, String[] args) {
        CommandLine line = fault.getCommandLine();
        PrintWriter err = line.getErr();
        err.println("instep: " + cause(fault));
        err.println("`" + line.getCommandSpec().qualifiedName() + " --help` shows the options");
        err.flush();
        return line.getCommandSpec().exitCodeOnInvalidInput();
    }

    private static String cause(ParameterException fault) {
        if (fault instanceof UnmatchedArgumentException unmatched
                && !unmatched.getUnmatched().isEmpty()) {
            return unknown(unmatched.getUnmatched().get(0), fault.getCommandLine());
        }
        ArgSpec about = fault.getArgSpec();
        if (fault instanceof MissingParameterException missing) {
            return missing(missing);
        }
        String value = fault.getValue();
        if (fault instanceof CommandLine.OverwrittenOptionException twice) {
            return name(twice.getOverwritten()) + " is given more than once";
        } else if (value != null && about != null) {
            return name(about) + " " + value + ": expected " + expected(about);
        }
        return String.valueOf(fault.getMessage());
    }

    private static String unknown(String word, CommandLine line) {
        Optional<String> near = Words.nearest(word, words(line));
        if (near.isPresent()) {
            return "there is no " + word + " here. Did you mean: " + near.get() + "?";
        } else if (word.startsWith("-")) {
            return "there is no option " + word + " here";
        } else if (line.getParent() == null && (word.matches(".+\\.ya?ml") || Files.exists(Path.of(word)))) {
            return word + " is no command. Did you mean: instep run " + word + "?";
        }
        return line.getSubcommands().isEmpty() ? word + " is one word too many" : word + " is no command";
    }

    private static List<String> words(CommandLine line) {
        List<String> words = new ArrayList<>(line.getSubcommands().keySet());
        words.addAll(line.getCommandSpec().optionsMap().keySet());
        return words;
    }

    private static String missing(MissingParameterException fault) {
        List<ArgSpec> missing = fault.getMissing();
        if (missing.size() == 1 && missing.get(0) instanceof OptionSpec option && !option.required()) {
            return name(option) + " takes " + option.paramLabel() + " behind it";
        }
        if (missing.stream().noneMatch(ArgSpec::isOption)) {
            return "expected "
                    + fault.getCommandLine().getCommandSpec().positionalParameters().stream()
                            .map(ArgSpec::paramLabel)
                            .collect(Collectors.joining(" "));
        }
        return "missing: " + missing.stream().map(Misunderstood::shown).collect(Collectors.joining(", "));
    }

    private static String shown(ArgSpec one) {
        return one instanceof OptionSpec ? name(one) + " " + one.paramLabel() : one.paramLabel();
    }

    private static String name(ArgSpec one) {
        return one instanceof OptionSpec option ? option.longestName() : one.paramLabel();
    }

    private static String expected(ArgSpec about) {
        Class<?> type = about.isMultiValue() ? about.auxiliaryTypes()[0] : about.type();
        if (type.isEnum()) {
            return Words.either(Arrays.stream(type.getEnumConstants())
                    .map(one -> one.toString().toLowerCase(Locale.ROOT).replace('_', '-'))
                    .toList());
        }
        boolean whole = type == int.class || type == Integer.class || type == long.class || type == Long.class;
        return whole ? "a whole number" : type == double.class || type == Double.class ? "a number" : "something else";
    }
}
