package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Sequence;
import instep.gear.Message;
import instep.machine.Place;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Reads {@code messages}, and the steps of messages wherever else they are written. */
final class MessageReader {
    /** What stands in the place of a gear, where a message waits. */
    static final String WAIT = "wait";

    private final Scope scope;
    private final StepReader reader;
    private final List<Message> messages = new ArrayList<>();
    private final Map<Place, String> unnamed = new HashMap<>();

    MessageReader(Scope scope) {
        this.scope = scope;
        this.reader = new StepReader(scope.scalars());
    }

    /** Reads the section. */
    void read(@Nullable Node section) {
        if (section == null) {
            return;
        }
        List<Entry> entries = Fields.named("message", section, scope.scalars());
        if (entries.isEmpty()) {
            scope.messages().leaveOpen();
        }
        for (Entry entry : entries) {
            scope.messages().declare(entry.name(), entry.place());
            messages.add(new Message(entry.name(), steps(entry.value())));
        }
    }

    /** Steps, as a map or a list of maps from gear to what it is told. */
    List<Message.Step> steps(Node node) {
        Steps steps = new Steps();
        if (node instanceof Mapping mapping && !mapping.bare()) {
            mapping.entries().forEach(steps::add);
        } else if (node instanceof Sequence sequence && !sequence.items().isEmpty()) {
            for (Node item : sequence.items()) {
                if (item instanceof Mapping mapping) {
                    mapping.entries().forEach(steps::add);
                } else {
                    scope.scalars().expected(item, "a step such as mixer: \"CUT 1\"");
                }
            }
        } else {
            scope.scalars().expected(node, "steps such as { mixer: \"CUT 1\" }, or a list of them");
        }
        return steps.all;
    }

    /** The steps of one message as they are read. A wait holds for all gear: what stands behind it comes so much later. */
    private final class Steps {
        private final List<Message.Step> all = new ArrayList<>();
        private final Map<String, Long> before = new HashMap<>();
        private long waited;

        void add(Entry entry) {
            if (entry.name().equals(WAIT)) {
                waited += scope.scalars().nanos(entry.value(), 0);
            } else if (scope.gear().refer(entry.name(), entry.place())) {
                Transport transport = scope.transports().get(entry.name());
                if (transport != null) {
                    long wait = waited - before.getOrDefault(entry.name(), 0L);
                    before.put(entry.name(), waited);
                    int gear = scope.gear().number(entry.name());
                    all.add(reader.read(entry.name(), gear, transport, wait, entry.value()));
                }
            }
        }
    }

    /** The name of a message that is written where it is sent: its line, with the file if that lies over another, and its column where a line has several. */
    String unnamed(Node node) {
        String known = unnamed.get(node.place());
        if (known != null) {
            return known;
        }
        String file = scope.faults().isInFirst(node.place()) ? "" : node.place().file() + " ";
        String line = file + "line " + node.place().line();
        String name =
                unnamed.containsValue(line) ? line + ", column " + node.place().column() : line;
        unnamed.put(node.place(), name);
        messages.add(new Message(name, steps(node)));
        return name;
    }

    /** All messages so far: those of the section, then those without a name. */
    List<Message> messages() {
        return List.copyOf(messages);
    }
}
