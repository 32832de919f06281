package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.gear.Payload;
import instep.gear.UriTemplate;
import instep.machine.Template;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
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

    static final List<String> KEYS = List.of(
            "get", "put", "post", "delete", "patch", "head", "query", "headers", "text", "json", "form", "expect");
    static final List<String> BODIES = List.of("text", "json", "form");
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
        checkBody(method, fields);
        Map<String, Template> headers = headers(fields.get("headers"), scalars);
        Node expect = fields.get("expect");
        Fields wanted = expect == null
                ? Fields.of(node.place(), "expect", new Mapping(node.place(), List.of(), false), EXPECT, scalars)
                : Fields.of(fields.placeOf("expect"), "expect", expect, EXPECT, scalars);
        return new Payload.Http(
                method.toUpperCase(Locale.ROOT),
                target(fields.get(method), fields, scalars),
                headers,
                body(fields, scalars),
                contentType(fields, headers),
                wanted.integer("status", 100, 599, 0),
                wanted.nanos("within", 0));
    }

    private static void checkBody(String method, Fields fields) {
        List<String> given = BODIES.stream().filter(fields::has).toList();
        boolean none = method.equals("get") || method.equals("head");
        for (String body : given) {
            if (none) {
                fields.refuse(body, method + " has no body");
            } else if (!body.equals(given.get(0))) {
                fields.refuse(body, "a request has one body, and " + given.get(0) + " is given");
            }
        }
    }

    private static UriTemplate target(@Nullable Node node, Fields fields, Scalars scalars) {
        String form = "a target that begins with / and holds no spaces";
        String text = node == null ? "/" : scalars.text(node, form, "/");
        if (node == null || !TARGET.matcher(text).matches()) {
            if (node != null) {
                scalars.expected(node, form);
            }
            return UriTemplate.parse("/");
        }
        try {
            UriTemplate target = UriTemplate.parse(text);
            target.names().forEach(name -> scalars.refer(name, node));
            return query(target, fields, scalars);
        } catch (IllegalArgumentException e) {
            scalars.faults().add(node.place(), "expected a target after RFC 6570, but " + e.getMessage());
            return UriTemplate.parse("/");
        }
    }

    private static UriTemplate query(UriTemplate target, Fields fields, Scalars scalars) {
        Node query = fields.get("query");
        if (query == null) {
            return target;
        }
        if (target.toString().matches(".*\\{[?&#].*|.*#.*")) {
            fields.refuse("query", "the target has a query with values in braces; expected all of it in one place");
        }
        UriTemplate whole = target;
        for (Entry entry : pairs("query", query, scalars)) {
            whole = whole.with(entry.name(), scalars.template(entry.value(), "text", ""));
        }
        return whole;
    }

    private static List<Entry> pairs(String what, Node node, Scalars scalars) {
        if (node instanceof Mapping mapping && !mapping.bare()) {
            return mapping.entries();
        }
        scalars.expected(node, "a map of names and values for " + what);
        return List.of();
    }

    /** Names and values as application/x-www-form-urlencoded; the values of templates are encoded when they are filled in. */
    private static Template form(Node node, Scalars scalars) {
        List<Template.Part> parts = new ArrayList<>();
        for (Entry entry : pairs("form", node, scalars)) {
            String before = parts.isEmpty() ? "" : "&";
            parts.add(new Template.Part(before + encoded(entry.name()) + "=", false));
            for (Template.Part part :
                    scalars.template(entry.value(), "text", "").parts()) {
                parts.add(part.isName() ? part : new Template.Part(encoded(part.text()), false));
            }
        }
        return Template.of(parts);
    }

    private static String encoded(String text) {
        return URLEncoder.encode(text, StandardCharsets.UTF_8);
    }

    private static @Nullable Template body(Fields fields, Scalars scalars) {
        Node json = fields.get("json");
        if (json != null) {
            return JsonBody.template(json, scalars);
        }
        Node form = fields.get("form");
        if (form != null) {
            return form(form, scalars);
        }
        Node text = fields.get("text");
        return text == null ? null : scalars.template(text, "the text of the request", "");
    }

    private static @Nullable String contentType(Fields fields, Map<String, Template> headers) {
        if (fields.has("form")) {
            return "application/x-www-form-urlencoded";
        }
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
