package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.gear.Payload;
import instep.machine.Template;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads HTTP requests: {@code { put: /target, headers: …, json: …, expect: … }}. */
final class HttpReader {
    static final List<String> METHODS = List.of("get", "put", "post", "delete", "patch", "head");

    static final List<String> KEYS =
            List.of("get", "put", "post", "delete", "patch", "head", "headers", "text", "json", "expect");
    static final List<String> EXPECT = List.of("status", "within");

    /** The {@code token} of RFC 9110, section 5.6.2. */
    private static final Pattern HEADER = Pattern.compile("[!#$%&'*+.^_`|~0-9A-Za-z-]+");

    private static final Pattern TARGET = Pattern.compile("/[!-\\x7e]*");
    private static final Set<String> OWN = Set.of("host", "content-length", "transfer-encoding", "connection");

    private HttpReader() {}

    static Payload read(Node node, Scalars scalars) {
        Fields fields = Fields.of(node.place(), "this request", node, KEYS, scalars);
        List<String> methods = METHODS.stream().filter(fields::has).toList();
        if (methods.isEmpty() && !fields.isBroken()) {
            scalars.faults().add(node.place(), "this request has no method; expected " + Words.either(METHODS));
        }
        if (methods.size() > 1) {
            scalars.faults().add(fields.placeOf(methods.get(1)), "a second method in one request; expected only one");
        }
        String method = methods.isEmpty() ? "get" : methods.get(0);
        if (fields.has("text")) {
            fields.refuse("json", "a request has one body, and text is given");
        }
        if (method.equals("get") || method.equals("head")) {
            fields.refuse("text", method + " has no body");
            fields.refuse("json", method + " has no body");
        }
        Map<String, Template> headers = headers(fields.get("headers"), scalars);
        Node expect = fields.get("expect");
        Fields wanted = expect == null
                ? Fields.of(node.place(), "expect", new Mapping(node.place(), List.of(), false), EXPECT, scalars)
                : Fields.of(fields.placeOf("expect"), "expect", expect, EXPECT, scalars);
        return new Payload.Http(
                method.toUpperCase(Locale.ROOT),
                target(fields.get(method), scalars),
                headers,
                body(fields, scalars),
                contentType(fields, headers),
                wanted.integer("status", 100, 599, 0),
                wanted.nanos("within", 0));
    }

    private static Template target(@Nullable Node node, Scalars scalars) {
        String form = "a target that begins with / and holds no spaces";
        Template target = node == null ? Template.parse("/") : scalars.template(node, form, "/");
        if (node != null && !TARGET.matcher(target.toString()).matches()) {
            scalars.expected(node, form);
        }
        return target;
    }

    private static @Nullable Template body(Fields fields, Scalars scalars) {
        Node json = fields.get("json");
        if (json != null) {
            return JsonBody.template(json, scalars);
        }
        Node text = fields.get("text");
        return text == null ? null : scalars.template(text, "the text of the request", "");
    }

    private static @Nullable String contentType(Fields fields, Map<String, Template> headers) {
        if (headers.keySet().stream().anyMatch(h -> h.equalsIgnoreCase("content-type"))) {
            return null;
        }
        if (fields.has("json")) {
            return "application/json";
        }
        return fields.has("text") ? "text/plain; charset=utf-8" : null;
    }

    /** Reads header fields, by their names as written. */
    static Map<String, Template> headers(@Nullable Node node, Scalars scalars) {
        Map<String, Template> headers = new LinkedHashMap<>();
        if (node instanceof Mapping mapping) {
            mapping.entries().forEach(e -> headers.put(e.name(), header(e, scalars)));
        } else if (node != null) {
            scalars.expected(node, "a map of header names and their values");
        }
        return headers;
    }

    private static Template header(Entry entry, Scalars scalars) {
        if (!HEADER.matcher(entry.name()).matches()) {
            scalars.faults()
                    .add(
                            entry.place(),
                            Words.quote(entry.name())
                                    + " cannot be the name of a header; expected letters, digits and -");
        } else if (OWN.contains(entry.name().toLowerCase(Locale.ROOT))) {
            scalars.faults()
                    .add(
                            entry.place(),
                            "the header " + Words.quote(entry.name()) + " is set by itself; expected another one");
        }
        Template value = scalars.template(entry.value(), "the text of the header", "");
        if (value.toString().chars().anyMatch(Character::isISOControl)) {
            scalars.expected(entry.value(), "the text of the header in one line");
        }
        return value;
    }
}
