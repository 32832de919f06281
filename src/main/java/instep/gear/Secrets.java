package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * The secrets that stand in what one gear is told, read: a value {@code secret.NAME} is one. They go on the wire and nowhere else. Immutable.
 */
public final class Secrets {
    /** What the name of such a value begins with. */
    public static final String PREFIX = "secret.";

    static final Secrets NONE = new Secrets(Map.of());

    private static final String UNKNOWN = "(secret)";

    private final Map<String, String> texts;

    private Secrets(Map<String, String> texts) {
        this.texts = Map.copyOf(texts);
    }

    /** Reads them; blocks on their files. */
    static Secrets of(List<Secret> secrets) throws UnfitException {
        Map<String, String> texts = new HashMap<>();
        for (Secret secret : secrets) {
            texts.put(PREFIX + secret.name(), secret.read());
        }
        return texts.isEmpty() ? NONE : new Secrets(texts);
    }

    /** The names of the values in what a gear is told, secrets among them. */
    public static Set<String> names(Payload payload) {
        return Render.names(payload);
    }

    /** The same values, and the secrets; for one that is not known here, a word says that it is one. */
    Values among(Values values) {
        return name -> name.startsWith(PREFIX) ? texts.getOrDefault(name, UNKNOWN) : values.value(name);
    }

    /** A text with the secrets in their places; other braces in it stand for themselves. */
    String fill(String text) {
        String filled = text;
        for (Map.Entry<String, String> one : texts.entrySet()) {
            filled = filled.replace("{" + one.getKey() + "}", one.getValue());
        }
        return filled;
    }

    /** Texts that nobody may see: the secrets, and what becomes of them in a target, a form, a string of JSON and an OSC address. */
    List<String> hidden() {
        Set<String> all = new LinkedHashSet<>();
        for (String text : texts.values()) {
            all.add(text);
            all.add(Base64.getEncoder().encodeToString(text.getBytes(StandardCharsets.UTF_8)));
            all.add(URLEncoder.encode(text, StandardCharsets.UTF_8));
            for (Template.Escape escape : Template.Escape.values()) {
                all.add(Template.of(List.of(new Template.Part("", true))).render(name -> text, escape));
            }
            all.add(UriTemplate.parse("{+text}").expand(name -> text));
            all.add(String.valueOf(Render.addressPart(name -> text).value("")));
        }
        return new ArrayList<>(all);
    }

    /** Says nothing of what it holds. */
    @Override
    public String toString() {
        return "Secrets[…]";
    }
}
