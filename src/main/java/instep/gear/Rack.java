package instep.gear;

import instep.machine.Values;
import io.netty.channel.EventLoop;
import java.util.ArrayList;
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
    private final List<Link> links = new ArrayList<>();

    /**
     * Stands ready on {@code loop}, which may be of Netty's epoll or NIO kind; nothing is connected before {@link #start}. Blocks on the files of secrets
     * and certificates that the settings name, so that it is best made on another thread.
     */
    public Rack(EventLoop loop, List<? extends GearSettings> gear, GearListener listener) {
        this(Net.of(loop), gear, listener);
    }

    Rack(Net net, List<? extends GearSettings> gear, GearListener listener) {
        for (GearSettings settings : gear) {
            links.add(Links.to(settings, net, new Report(listener, links.size())));
        }
    }

    /** Begins to connect to all of it. */
    @Override
    public void start() {
        links.forEach(Link::start);
    }

    /** Sends each step to its gear. The values are used during the call only; each step reports with the same ticket. */
    @Override
    public void send(Message message, Values values, long ticket) {
        for (Message.Step step : message.steps()) {
            links.get(step.gear()).send(step.payload(), values, ticket);
        }
    }

    /** Sends those steps that are for one gear; nothing if there are none. */
    @Override
    public void sendTo(int gear, Message message, Values values, long ticket) {
        for (Message.Step step : message.steps()) {
            if (step.gear() == gear) {
                links.get(gear).send(step.payload(), values, ticket);
            }
        }
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        for (int i = 0; i < links.size(); i++) {
            links.get(i).withdraw(tickets, why);
        }
    }

    /** Whether that gear's link was last reported as up. */
    public boolean isUp(int gear) {
        return links.get(gear).isUp();
    }

    /** Nothing waits to be sent or to be answered: a good moment to close. */
    @Override
    public boolean isQuiet() {
        for (Link link : links) {
            if (!link.isQuiet()) {
                return false;
            }
        }
        return true;
    }

    /** Ends all links at once. What waited is reported as missed, an unanswered request as refused; after that the listener is not called again. */
    @Override
    public void close() {
        links.forEach(Link::close);
    }
}
