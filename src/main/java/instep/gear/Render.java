package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Text made safe for where it goes: nothing that a device says or a person types can add a second command to a line. */
final class Render {
    private static final int LONGEST_LINE = 200;

    private Render() {}

    /** The same values, but each on one line: control characters in them become spaces. */
    static Values oneLine(Values values) {
        return name -> {
            Object value = values.value(name);
            return value instanceof String text ? spaced(text) : value;
        };
    }

    /** The same values, fit for a part of an OSC address: what OSC 1.0 forbids there becomes an underscore. */
    static Values addressPart(Values values) {
        return name -> {
            Object value = values.value(name);
            return value instanceof String text ? text.replaceAll("[^!-~]|[#*,/?\\[\\]{}]", "_") : value;
        };
    }

    /** What a person reads in a log: one line, not too long. */
    static String line(String text) {
        String flat = spaced(text);
        return flat.length() <= LONGEST_LINE ? flat : flat.substring(0, LONGEST_LINE - 1) + "…";
    }

    /** The names of the values in it. */
    static Set<String> names(Payload payload) {
        Set<String> names = new HashSet<>();
        if (payload instanceof Payload.Text line) {
            names.addAll(line.text().names());
        } else if (payload instanceof Payload.Json json) {
            names.addAll(json.body().names());
        } else if (payload instanceof Payload.Osc osc) {
            names.addAll(osc.address().names());
            osc.arguments().forEach(argument -> names.addAll(names(argument)));
        } else if (payload instanceof Payload.OscBundle bundle) {
            bundle.messages().forEach(message -> names.addAll(names(message)));
        } else if (payload instanceof Payload.Http http) {
            names.addAll(http.target().names());
            http.headers().values().forEach(header -> names.addAll(header.names()));
            if (http.body() != null) {
                names.addAll(http.body().names());
            }
        }
        return names;
    }

    private static List<String> names(Payload.Argument argument) {
        if (argument instanceof Payload.Argument.Text text) {
            return List.copyOf(text.value().names());
        }
        return argument instanceof Payload.Argument.Numeric number
                ? List.copyOf(number.value().names())
                : List.of();
    }

    /** Whether it reads the same whatever the values are. */
    static boolean isFixed(Payload payload) {
        if (payload instanceof Payload.Text line) {
            return isFixed(line.text());
        }
        if (payload instanceof Payload.Json json) {
            return isFixed(json.body());
        }
        if (payload instanceof Payload.OscBundle bundle) {
            return bundle.afterNanos() == 0 && bundle.messages().stream().allMatch(Render::isFixed);
        }
        if (payload instanceof Payload.Osc osc) {
            return isFixed(osc.address())
                    && osc.arguments().stream()
                            .allMatch(a -> !(a instanceof Payload.Argument.Numeric)
                                    && (!(a instanceof Payload.Argument.Text text) || isFixed(text.value())));
        }
        if (payload instanceof Payload.Http http) {
            return http.target().names().isEmpty()
                    && (http.body() == null || isFixed(http.body()))
                    && http.headers().values().stream().allMatch(Render::isFixed);
        }
        return true;
    }

    private static boolean isFixed(Template template) {
        return template.parts().stream().noneMatch(Template.Part::isName);
    }

    /** Control characters, line ends among them, become spaces. */
    static String spaced(String text) {
        for (int i = 0; i < text.length(); i++) {
            if (Character.isISOControl(text.charAt(i))) {
                return text.replaceAll("\\R|\\p{Cntrl}|[\\x80-\\x9f]", " ");
            }
        }
        return text;
    }
}
