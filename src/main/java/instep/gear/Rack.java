package instep.gear;

import instep.machine.Values;
import io.netty.channel.EventLoop;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * All the gear that is commanded: one link for each, numbered as in the list of settings. A link connects by itself and again whenever it is
 * lost; what cannot be sent before it is stale is reported as missed and never sent later.
 *
 * <p>Everything is called on the loop's thread, which is also where the listener is called; the listener may call back. Nothing here blocks, throws for
 * what a device does, or lets one device hold up another.
 */
public final class Rack implements Crew {
    private final Net net;
    /** In the order of the gear; a poller is null where nothing is asked. */
    private final List<Conversation> conversations = new ArrayList<>();

    private final List<@Nullable Poller> pollers = new ArrayList<>();
    /** Those of them that another rack has connected already. */
    private final Set<Object> running = new HashSet<>();

    /** Conversations and pollers that another configuration needs and that a rack does not have yet, by gear. */
    public static final class Parts {
        private final Map<Integer, Conversation> conversations = new HashMap<>();
        private final Map<Integer, Poller> pollers = new HashMap<>();

        private Parts() {}
    }

    /**
     * Stands ready on {@code loop}, which may be of Netty's epoll or NIO kind; nothing is connected before {@link #start}. Blocks on the files of secrets
     * and certificates that the settings name, so that it is best made on another thread.
     */
    public Rack(EventLoop loop, List<? extends GearSettings> gear, GearListener listener) {
        this(loop, gear, Collections.nCopies(gear.size(), Listening.PLAIN), listener);
    }

    /**
     * The same with gear that is listened to.
     *
     * @param listening how, in the order of the gear
     */
    public Rack(EventLoop loop, List<? extends GearSettings> gear, List<Listening> listening, GearListener listener) {
        this(Net.of(loop), gear, listening, listener);
    }

    /** The same, and {@code tap} sees every byte. */
    public static Rack tapped(
            EventLoop loop,
            List<? extends GearSettings> gear,
            List<Listening> listening,
            GearListener listener,
            Tap tap) {
        return new Rack(Net.of(loop).with(tap), gear, listening, listener);
    }

    Rack(Net net, List<? extends GearSettings> gear, GearListener listener) {
        this(net, gear, Collections.nCopies(gear.size(), Listening.PLAIN), listener);
    }

    Rack(Net net, List<? extends GearSettings> gear, List<Listening> listening, GearListener listener) {
        this.net = net;
        for (int i = 0; i < gear.size(); i++) {
            Listening manners = listening.get(i);
            Listening.Poll poll = manners.poll();
            conversations.add(new Conversation(gear.get(i), manners, net, new Post(listener, i)));
            pollers.add(poll == null ? null : new Poller(gear.get(i), manners, poll, net, new Post(listener, i)));
        }
    }

    /** Where another rack was. */
    private Rack(Net net) {
        this.net = net;
    }

    /**
     * Makes what this rack lacks for other gear. Blocks on the files of secrets and certificates that the settings name; not to be called on the loop.
     *
     * @param theirs by gear: the number under which it is here, if its settings are the same; else negative
     */
    public Parts partsFor(List<? extends GearSettings> gear, List<Listening> listening, int[] theirs) {
        Parts parts = new Parts();
        for (int i = 0; i < gear.size(); i++) {
            Listening.Poll poll = listening.get(i).poll();
            if (theirs[i] < 0) {
                parts.conversations.put(i, new Conversation(gear.get(i), listening.get(i), net, new Post()));
            }
            if (poll != null && !isAsked(theirs[i], poll)) {
                parts.pollers.put(i, new Poller(gear.get(i), listening.get(i), poll, net, new Post()));
            }
        }
        return parts;
    }

    private boolean isAsked(int gear, Listening.Poll poll) {
        Poller poller = gear < 0 ? null : pollers.get(gear);
        return poller != null && poller.asks(poll);
    }

    /** Ends the links to gear that is not wanted any more. What waited is reported as missed. */
    public void letGo(int[] theirs) {
        for (int gear = 0; gear < conversations.size(); gear++) {
            int number = gear;
            if (Arrays.stream(theirs).noneMatch(kept -> kept == number)) {
                conversations.get(gear).close();
            }
        }
    }

    /**
     * The rack for other gear in place of this one, which must not be used any more: links to gear with the same settings stay up, those that are not wanted
     * any more are ended, and {@link #start} connects the others.
     */
    public Rack goOn(Parts parts, List<Listening> listening, int[] theirs, GearListener listener) {
        Rack other = new Rack(net);
        for (int i = 0; i < theirs.length; i++) {
            Conversation added = parts.conversations.get(i);
            Conversation one = added == null ? conversations.get(theirs[i]) : added;
            one.goOn(listening.get(i), listener, i);
            other.conversations.add(one);
            if (added == null) {
                other.running.add(one);
            }
            other.pollers.add(poller(parts.pollers.get(i), listening.get(i).poll(), theirs[i], other.running));
            Poller poller = other.pollers.get(i);
            if (poller != null) {
                poller.goOn(listener, i);
            }
        }
        letGo(theirs);
        pollers.stream()
                .filter(poller -> poller != null && !other.pollers.contains(poller))
                .forEach(Poller::close);
        return other;
    }

    private @Nullable Poller poller(
            @Nullable Poller added, Listening.@Nullable Poll poll, int theirs, Set<Object> keeps) {
        Poller old = theirs < 0 || poll == null ? null : pollers.get(theirs);
        if (added == null && old != null) {
            keeps.add(old);
        }
        return added == null ? old : added;
    }

    /** Begins to connect to all of it. */
    @Override
    public void start() {
        conversations.stream()
                .filter(conversation -> !running.contains(conversation))
                .forEach(conversation -> conversation.link().start());
        pollers.stream()
                .filter(poller -> poller != null && !running.contains(poller))
                .forEach(Poller::start);
    }

    /** Sends each step to its gear. The values are used during the call only; each step reports with the same ticket. */
    @Override
    public void send(Message message, Values values, long ticket) {
        if (message.isPlain()) {
            for (Message.Step step : message.steps()) {
                conversations.get(step.gear()).link().send(step.payload(), values, ticket);
            }
        } else {
            for (int i = 0; i < conversations.size(); i++) {
                conversations.get(i).say(message, values, ticket);
            }
        }
    }

    /** Sends those steps that are for one gear; nothing if there are none. */
    @Override
    public void sendTo(int gear, Message message, Values values, long ticket) {
        conversations.get(gear).say(message, values, ticket);
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        for (int i = 0; i < conversations.size(); i++) {
            conversations.get(i).withdraw(tickets, why);
        }
    }

    @Override
    public void takeBack(int gear, LongPredicate tickets) {
        conversations.get(gear).takeBack(tickets);
    }

    /** Whether that gear's link was last reported as up. */
    public boolean isUp(int gear) {
        return conversations.get(gear).link().isUp();
    }

    /** Nothing waits to be sent or to be answered: a good moment to close. */
    @Override
    public boolean isQuiet() {
        for (Conversation conversation : conversations) {
            if (!conversation.isQuiet()) {
                return false;
            }
        }
        return true;
    }

    /** Ends all links at once. What waited is reported as missed, an unanswered request as refused; after that the listener is not called again. */
    @Override
    public void close() {
        pollers.stream().filter(Objects::nonNull).forEach(Poller::close);
        conversations.forEach(Conversation::close);
    }
}
