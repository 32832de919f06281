package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.machine.Action;
import instep.machine.Action.Assignment;
import instep.machine.Place;
import instep.machine.Template;
import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads what is done on the way: send, mark, set, raise. */
final class ActionReader {
    static final List<String> KEYS = List.of("send", "mark", "text", "set", "raise");

    /** Of a value that is set to what would otherwise be a step. */
    static final List<String> SET_KEYS = List.of("to");

    static final Pattern EVENT = Pattern.compile("[\\p{L}\\p{N}_-]+(\\.[\\p{L}\\p{N}_-]+)*");

    private final Scope scope;
    private final Scalars scalars;
    private final MessageReader messages;

    ActionReader(Scope scope, MessageReader messages) {
        this.scope = scope;
        this.scalars = scope.scalars();
        this.messages = messages;
    }

    /** A map of actions, or a list of such maps. */
    List<Action> block(String what, @Nullable Node node) {
        List<Action> actions = new ArrayList<>();
        if (node instanceof Sequence sequence) {
            sequence.items().forEach(i -> actions.addAll(among(Fields.of(i.place(), what, i, KEYS, scalars))));
        } else if (node != null) {
            actions.addAll(among(Fields.of(node.place(), what, node, KEYS, scalars)));
        }
        return actions;
    }

    /** The actions among some fields, in the order in which they were written. */
    List<Action> among(Fields fields) {
        List<Action> actions = new ArrayList<>();
        if (!fields.has("mark") && !fields.isBroken()) {
            fields.refuse("text", "it belongs to a mark; expected mark beside it");
            Optional.ofNullable(fields.get("text"))
                    .ifPresent(text -> scalars.template(text, "the text of the mark", ""));
        }
        for (String key : fields.keys()) {
            Node node = fields.get(key);
            if (node != null) {
                switch (key) {
                    case "send" -> send(node, actions);
                    case "mark" -> actions.add(mark(node, fields));
                    case "set" -> set(node, actions);
                    case "raise" -> raise(node, actions);
                    default -> {}
                }
            }
        }
        return actions;
    }

    private void send(Node node, List<Action> actions) {
        if (node instanceof Sequence sequence && !sequence.items().isEmpty()) {
            sequence.items().forEach(item -> sendOne(item, actions));
        } else {
            sendOne(node, actions);
        }
    }

    private void sendOne(Node node, List<Action> actions) {
        if (node instanceof Mapping mapping && !mapping.bare()) {
            actions.add(new Action.Send(messages.unnamed(mapping)));
            return;
        }
        String name = scalars.text(node, "the name of a message, or steps such as { mixer: \"CUT 1\" }", "");
        if (!name.isEmpty()) {
            scope.messages().refer(name, node.place());
            actions.add(new Action.Send(name));
        }
    }

    private Action mark(Node node, Fields fields) {
        String kind = scalars.text(node, "a word for the kind of mark", "mark");
        Fields.checkName("mark", kind, node.place(), scalars);
        Node text = fields.get("text");
        return new Action.Mark(kind, text == null ? null : scalars.template(text, "the text of the mark", ""));
    }

    private void set(Node node, List<Action> actions) {
        if (!(node instanceof Mapping mapping) || mapping.bare()) {
            scalars.expected(node, "a map of names and their new values, such as { step: +1 }");
            scope.doubts().ofValues(true);
            return;
        }
        int before = scope.faults().count();
        for (Entry entry : mapping.entries()) {
            Fields.checkName("value", entry.name(), entry.place(), scalars);
            scope.isFree(entry);
            actions.add(new Action.Set(entry.name(), assignment(entry.value())));
        }
        scope.doubts().ofValues(scope.faults().count() > before);
    }

    /** A number with a sign is a step; {@code { to: -1 }} is a negative number. */
    private Assignment assignment(Node node) {
        if (node instanceof Mapping mapping && !mapping.bare()) {
            Fields fields = Fields.of(node.place(), "this value", node, SET_KEYS, scalars);
            Node to = fields.require("to", "expected a value");
            return new Assignment.Constant(to == null ? "" : Constants.read(to, scalars));
        }
        if (node instanceof Scalar scalar) {
            Optional<BigInteger> number = Scalars.integer(scalar);
            boolean signed = scalar.text().startsWith("+") || scalar.text().startsWith("-");
            if (number.isPresent() && signed && number.get().bitLength() < Long.SIZE) {
                return new Assignment.Add(number.get().longValue());
            }
            if (!Template.parse(scalar.text()).names().isEmpty()) {
                return new Assignment.Text(scalars.template(scalar, "text", ""));
            }
        }
        return new Assignment.Constant(Constants.read(node, scalars));
    }

    private void raise(Node node, List<Action> actions) {
        if (node instanceof Sequence sequence) {
            sequence.items().forEach(item -> raiseOne(item, actions));
        } else {
            raiseOne(node, actions);
        }
    }

    private void raiseOne(Node node, List<Action> actions) {
        String event = scalars.text(node, "the name of an event", "");
        Place place = node.place();
        if (!event.isEmpty() && !EVENT.matcher(event).matches()) {
            scope.faults()
                    .add(
                            place,
                            Words.quote(event) + " cannot be the name of an event; expected words with dots between");
        }
        actions.add(new Action.Raise(event));
    }
}
