package instep.gear;

import instep.machine.Values;
import io.netty.channel.EventLoop;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.function.LongPredicate;

/**
 * All the gear that is commanded: one link for each, numbered as in the list of settings. A link connects by itself and again whenever it is
 * lost; what cannot be sent before it is stale is reported as missed and never sent later.
 *
 * <p>Everything is called on the loop's thread, which is also where the listener is called; the listener may call back. Nothing here blocks, throws for
 * what a device does, or lets one device hold up another.
 */
public final class Rack implements Crew {
    private final List<Conversation> conversations = new ArrayList<>();
    private final List<Poller> pollers = new ArrayList<>();

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
        for (int i = 0; i < gear.size(); i++) {
            Listening manners = listening.get(i);
            conversations.add(new Conversation(gear.get(i), manners, net, listener, i));
            if (manners.poll() != null) {
                pollers.add(new Poller(gear.get(i), manners.poll(), net, listener, i));
            }
        }
    }

    /** Begins to connect to all of it. */
    @Override
    public void start() {
        conversations.forEach(conversation -> conversation.link().start());
        pollers.forEach(Poller::start);
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
        pollers.forEach(Poller::close);
        conversations.forEach(Conversation::close);
    }
}
