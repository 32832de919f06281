package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.gear.Listening;
import instep.gear.Listening.Heartbeat;
import instep.gear.Listening.Poll;
import instep.gear.Listening.Resync;
import instep.gear.Match;
import instep.gear.Payload;
import instep.gear.ReplyPattern;
import instep.gear.ReplyPattern.AngleName;
import instep.gear.Wording;
import instep.machine.Template;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Reads how a gear is listened to: {@code replies}, {@code poll}, {@code heartbeat}, {@code roll-within}, {@code confirm-within}, {@code resync} and {@code queue}. */
final class ListeningReader {
    static final List<String> KEYS =
            List.of("replies", "poll", "heartbeat", "roll-within", "confirm-within", "resync", "queue");

    private static final int LONGEST_QUEUE = 1_024;

    static final List<String> PATTERN =
            List.of("line", "pointer", "equals", "osc", "event", "set", "on-air", "rolling", "timecode");
    private static final List<String> MEANINGS = List.of("event", "set", "on-air", "rolling", "timecode");
    static final List<String> HEARTBEAT = List.of("every", "send", "expect", "within");
    static final long BEAT = 5_000_000_000L;
    /** How long an answer to a heartbeat may take. */
    static final long ANSWER = 2_000_000_000L;
    /** Twice within the second in which a recorder has to say that it rolls. */
    static final long ASK = 500_000_000L;

    private static final long SHORTEST = 100_000_000L;
    private static final String ANGLE = "angle";

    private final Scope scope;
    private final Scalars scalars;
    private final PayloadReader payloads;
    private final AnswerReader matches;

    ListeningReader(Scope scope) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.payloads = new PayloadReader(scalars);
        this.matches = new AnswerReader(scalars);
    }

    Listening read(String gear, Transport transport, Fields fields) {
        if (transport != Transport.HTTP) {
            fields.refuse("poll", "only http gear has to be asked");
        }
        if (transport == Transport.LED) {
            fields.refuse("replies", "lamps say nothing");
            fields.refuse("heartbeat", "lamps say nothing");
        }
        List<ReplyPattern> replies = replies(fields.get("replies"));
        Poll poll = poll(gear, transport, fields.entry("poll"));
        long asked = poll == null ? 0 : poll.everyNanos();
        Listening listening = new Listening(
                replies,
                poll,
                heartbeat(gear, transport, fields.entry("heartbeat")),
                fields.nanos("roll-within", Math.max(Listening.ROLL_WITHIN, 2 * asked)),
                fields.nanos("confirm-within", Listening.CONFIRM_WITHIN + asked),
                resync(fields.get("resync")),
                List.of(),
                fields.integer("queue", 1, LONGEST_QUEUE, Listening.QUEUE));
        if (!listening.tellsRolling() && !fields.isBroken()) {
            fields.refuse("roll-within", "none of its replies says that it rolls; expected one with rolling: true");
        }
        if (!listening.tellsOnAir() && !fields.isBroken()) {
            fields.refuse("confirm-within", "none of its replies says what is on air; expected one with on-air");
        }
        return listening;
    }

    private List<ReplyPattern> replies(@Nullable Node section) {
        List<ReplyPattern> patterns = new ArrayList<>();
        if (section instanceof Sequence sequence) {
            sequence.items().forEach(item -> pattern(item).ifPresent(patterns::add));
        } else if (section != null) {
            scalars.expected(
                    section, "a list of patterns, such as [{ line: \"^ONAIR (?<angle>.*)$\", on-air: \"{angle}\" }]");
        }
        return patterns;
    }

    private Optional<ReplyPattern> pattern(Node node) {
        Fields fields = Fields.of(node.place(), "this pattern", node, PATTERN, scalars);
        Optional<Match> match = matches.among(fields);
        if (match.isEmpty() && !fields.isBroken()) {
            scalars.faults().add(node.place(), "this pattern says no reply; expected line, pointer or osc");
        }
        if (MEANINGS.stream().noneMatch(fields::has) && !fields.isBroken()) {
            scalars.faults().add(node.place(), "nothing follows from this reply; expected " + Words.either(MEANINGS));
        }
        return match.map(m -> new ReplyPattern(
                m,
                event(fields.get("event")),
                set(fields.get("set"), m),
                onAir(fields.get("on-air"), m),
                fields.has("rolling") ? fields.flag("rolling", false) : null,
                timecode(fields.get("timecode"), m)));
    }

    private @Nullable String event(@Nullable Node node) {
        if (node == null) {
            return null;
        }
        String event = scalars.text(node, "the name of an event", "");
        if (!event.isEmpty() && !ActionReader.EVENT.matcher(event).matches()) {
            String fault = " cannot be the name of an event; expected words with dots between";
            scalars.faults().add(node.place(), Words.quote(event) + fault);
        }
        scope.replies().events().add(event);
        return event;
    }

    private Map<String, Template> set(@Nullable Node node, Match match) {
        Map<String, Template> set = new LinkedHashMap<>();
        if (node instanceof Mapping mapping && !mapping.bare()) {
            for (Entry entry : mapping.entries()) {
                Fields.checkName("value", entry.name(), entry.place(), scalars);
                set.put(entry.name(), template(entry.value(), match, "what the value becomes"));
                scope.replies().variables().putIfAbsent(entry.name(), before(entry.value()));
            }
        } else if (node != null) {
            scalars.expected(node, "a map of names and their new values, such as { step: \"{step}\" }");
        }
        return set;
    }

    /** A value is of the kind that it is first set to; 0, false or an empty text before that. */
    private static Object before(Node node) {
        if (node instanceof Scalar scalar && Scalars.integer(scalar).isPresent()) {
            return 0L;
        }
        return node instanceof Scalar scalar && Scalars.flag(scalar).isPresent() ? (Object) false : "";
    }

    private @Nullable AngleName onAir(@Nullable Node node, Match match) {
        if (node instanceof Mapping mapping && !mapping.bare()) {
            Map<String, String> angles = new LinkedHashMap<>();
            mapping.entries().forEach(e -> angles.put(e.name(), angle(e.value())));
            return new AngleName(theOne(node, match), angles);
        } else if (node == null) {
            return null;
        }
        Template said = template(node, match, "an angle, \"{name}\" or a map from the gear's words to angles");
        if (said.names().isEmpty()) {
            scope.angles().refer(said.toString(), node.place());
        }
        return new AngleName(said, Map.of());
    }

    /** A label is none without a value. */
    private @Nullable Template timecode(@Nullable Node node, Match match) {
        if (node == null) {
            return null;
        }
        Template said = template(node, match, "the label that it shows, such as \"{timecode}\"");
        if (said.names().isEmpty()) {
            scalars.expected(node, "a value of the pattern, such as \"{timecode}\" or \"{value}\"");
        }
        return said;
    }

    private String angle(Node node) {
        String name = scalars.text(node, "the name of an angle", "");
        if (!name.isEmpty()) {
            scope.angles().refer(name, node.place());
        }
        return name;
    }

    /** The value that a map looks up: the only one, or the one called angle. */
    private Template theOne(Node node, Match match) {
        Set<String> names = match.names();
        if (names.size() != 1 && !names.contains(ANGLE)) {
            scalars.faults()
                    .add(node.place(), "this pattern has no group called angle; expected one such as (?<angle>[0-9]+)");
            return Template.parse("");
        }
        String name = names.contains(ANGLE) ? ANGLE : names.iterator().next();
        return Template.of(List.of(new Template.Part(name, true)));
    }

    private Template template(Node node, Match match, String what) {
        Template template = Template.parse(scalars.text(node, what, ""));
        for (String name : template.names()) {
            if (!match.names().contains(name)) {
                String has = match.names().isEmpty() ? "it has none" : "it has " + Words.either(match.names());
                scalars.faults().add(node.place(), "the pattern gives no value " + Words.quote(name) + "; " + has);
            }
        }
        return template;
    }

    private @Nullable Poll poll(String gear, Transport transport, @Nullable Entry entry) {
        if (entry == null || transport != Transport.HTTP) {
            return null;
        }
        if (!(entry.value() instanceof Mapping mapping) || mapping.bare()) {
            scalars.expected(entry.value(), "a request and how often, such as { get: /status, every: 2s }");
            return null;
        }
        List<Entry> request = mapping.entries().stream()
                .filter(e -> !e.name().equals("every"))
                .toList();
        List<Entry> others =
                mapping.entries().stream().filter(e -> !request.contains(e)).toList();
        Fields fields = Fields.of(
                entry.place(), "poll", new Mapping(mapping.place(), others, false), List.of("every"), scalars);
        Payload payload = payloads.read(gear, transport, new Mapping(mapping.place(), request, false));
        return new Poll(fixed(payload, entry), every(fields, ASK));
    }

    private @Nullable Heartbeat heartbeat(String gear, Transport transport, @Nullable Entry entry) {
        if (entry == null) {
            return null;
        }
        Fields fields = Fields.of(entry.place(), "heartbeat", entry.value(), HEARTBEAT, scalars);
        Node send = fields.require("send", "expected what the gear answers to, such as send: PING");
        if (send == null) {
            return null;
        }
        Payload payload = payloads.read(gear, transport, send);
        Node expect = fields.get("expect");
        long every = every(fields, BEAT);
        return new Heartbeat(
                fixed(payload, entry),
                expect == null ? null : matches.read("expect", expect),
                every,
                fields.nanos("within", Math.min(every, ANSWER)));
    }

    private long every(Fields fields, long otherwise) {
        long every = fields.nanos("every", otherwise);
        Node node = fields.get("every");
        if (every < SHORTEST && node != null) {
            scalars.expected(node, "at least 100ms");
        }
        return Math.max(every, SHORTEST);
    }

    /** Nobody has pressed anything, so there is nothing that the values could tell. */
    private Payload fixed(Payload payload, Entry entry) {
        if (!Wording.isFixed(payload)) {
            scalars.faults().add(entry.place(), "values in braces cannot stand in what is said over and over");
        }
        return payload;
    }

    private Resync resync(@Nullable Node node) {
        if (node == null) {
            return Resync.ANGLE;
        }
        String word = scalars.text(node, "angle, none or the name of a message", ANGLE);
        if (word.equals(ANGLE)) {
            return Resync.ANGLE;
        } else if (word.equals("none")) {
            return Resync.NONE;
        }
        scope.messages().refer(word, node.place());
        return new Resync(false, word);
    }
}
