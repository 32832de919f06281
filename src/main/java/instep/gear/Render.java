package instep.gear;

import instep.machine.Template;
import instep.machine.Values;

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
                            .allMatch(a -> !(a instanceof Payload.Argument.Text text) || isFixed(text.value()));
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
