package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.gear.Match;
import instep.gear.Message.Expect;
import instep.gear.Message.Step;
import instep.gear.Payload;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Reads one step of a message: what a gear is told, what it has to answer, and how often it may be told again. */
final class StepReader {
    static final List<String> OURS = List.of("expect", "retry", "repeatable");
    static final List<String> EXPECT = List.of("line", "pointer", "equals", "osc", "within");
    /** What can be looked at in the body of an answer. */
    static final List<String> OF_BODY = List.of("line", "pointer", "equals");

    /** Doing it twice does no more than doing it once (RFC 9110, section 9.2.2). */
    private static final Set<String> IDEMPOTENT = Set.of("GET", "HEAD", "PUT", "DELETE");

    private static final int MOST_RETRIES = 10;

    private final Scalars scalars;
    private final PayloadReader payloads;
    private final AnswerReader matches;

    StepReader(Scalars scalars) {
        this.scalars = scalars;
        this.payloads = new PayloadReader(scalars);
        this.matches = new AnswerReader(scalars);
    }

    Step read(String name, int gear, Transport transport, long waitNanos, Node node) {
        if (!(node instanceof Mapping mapping) || mapping.bare()) {
            return new Step(gear, payloads.read(name, transport, node), waitNanos, null, 0);
        }
        List<Entry> ours = new ArrayList<>();
        List<Entry> others = new ArrayList<>();
        for (Entry entry : mapping.entries()) {
            (OURS.contains(entry.name()) ? ours : others).add(entry);
        }
        Fields fields = Fields.of(node.place(), "this step", new Mapping(node.place(), ours, false), OURS, scalars);
        Entry expect = fields.entry("expect");
        boolean http = transport == Transport.HTTP;
        if (http && expect != null && expect.value() instanceof Mapping wanted) {
            others.add(new Entry(expect.key(), without(wanted, OF_BODY)));
        } else if (http && expect != null) {
            others.add(expect);
        }
        Payload payload = payloads.read(name, transport, new Mapping(node.place(), others, false));
        Expect wanted = expect == null ? null : http ? ofHttp(expect) : ofOthers(expect);
        return new Step(gear, payload, waitNanos, wanted, retries(fields, payload, wanted));
    }

    private static Mapping only(Mapping mapping, List<String> keys) {
        List<Entry> kept =
                mapping.entries().stream().filter(e -> keys.contains(e.name())).toList();
        return new Mapping(mapping.place(), kept, false);
    }

    private static Mapping without(Mapping mapping, List<String> keys) {
        List<Entry> kept =
                mapping.entries().stream().filter(e -> !keys.contains(e.name())).toList();
        return new Mapping(mapping.place(), kept, false);
    }

    /** The status and the time belong to the request itself. */
    private @Nullable Expect ofHttp(Entry expect) {
        if (!(expect.value() instanceof Mapping mapping)) {
            return null;
        }
        Mapping match = only(mapping, OF_BODY);
        Fields fields = Fields.of(expect.place(), "expect", match, OF_BODY, scalars);
        return matches.among(fields).map(m -> new Expect(m, 0)).orElse(null);
    }

    private Expect ofOthers(Entry expect) {
        if (!(expect.value() instanceof Mapping mapping)) {
            return new Expect(matches.read("expect", expect.value()), Expect.WITHIN);
        }
        Fields fields = Fields.of(expect.place(), "expect", mapping, EXPECT, scalars);
        Match match = matches.read("expect", only(mapping, AnswerReader.KEYS));
        return new Expect(match, fields.nanos("within", Expect.WITHIN));
    }

    private int retries(Fields fields, Payload payload, @Nullable Expect expect) {
        int retries = fields.integer("retry", 0, MOST_RETRIES, 0);
        boolean request = payload instanceof Payload.Http;
        boolean repeatable = fields.flag("repeatable", false)
                || (payload instanceof Payload.Http http && IDEMPOTENT.contains(http.method()));
        if (retries > 0 && !repeatable) {
            fields.refuse(
                    "retry",
                    "told twice, it may be done twice; expected repeatable: true beside it if that does no harm");
        } else if (retries > 0 && !request && expect == null) {
            fields.refuse("retry", "nothing tells whether it was done; expected expect beside it");
        }
        return retries;
    }
}
