package instep.gear;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** What one link tells the listener: each change once, nothing after the end. Loop thread only. */
final class Report {
    private static final int MOST_REASONS = 8;

    private final GearListener listener;
    private final int gear;
    private boolean up;
    private String lostWhy = "not connected yet";
    private final Set<String> told = new HashSet<>();
    private final List<String> hidden = new ArrayList<>();
    private Veil veil = new Veil(hidden);
    private Veil.Stream toGear = veil.stream();
    private Veil.Stream fromGear = veil.stream();
    private boolean ended;

    Report(GearListener listener, int gear) {
        this.listener = listener;
        this.gear = gear;
    }

    /** From here on these texts are shown to nobody either, should the gear repeat them. */
    void hide(List<String> texts) {
        hidden.addAll(texts);
        veil = new Veil(hidden);
        toGear = veil.stream();
        fromGear = veil.stream();
    }

    private String shown(String text) {
        return veil.over(text);
    }

    /** What a tap may see of bytes that go to the gear ({@code out}) or come from it, piece after piece. */
    byte[] shown(boolean out, byte[] bytes) {
        return (out ? toGear : fromGear).over(bytes);
    }

    boolean isUp() {
        return up;
    }

    /** Why messages cannot go now. */
    String lostWhy() {
        return lostWhy;
    }

    void up(String why) {
        if (!ended && !up) {
            up = true;
            told.clear();
            listener.link(gear, GearListener.LinkState.UP, why);
        }
    }

    /** Tells each reason once in an outage: the attempts behind an unplugged cable fail for two reasons in turn. */
    void lost(String why) {
        if (ended) {
            return;
        }
        up = false;
        lostWhy = shown(why);
        if (told.size() < MOST_REASONS && told.add(lostWhy)) {
            listener.link(gear, GearListener.LinkState.LOST, lostWhy);
        }
    }

    void sent(Outgoing item) {
        sent(item, System.nanoTime());
    }

    /** It went out at that reading of {@code System.nanoTime()}, which may have passed. */
    void sent(Outgoing item, long nanos) {
        if (!ended) {
            listener.sent(gear, item.ticket(), shown(item.wire().text()), nanos);
        }
    }

    void missed(long ticket, String text, String why) {
        if (!ended) {
            listener.missed(gear, ticket, shown(text), shown(why));
        }
    }

    void reply(long ticket, String text) {
        if (!ended) {
            listener.reply(gear, ticket, shown(text), System.nanoTime());
        }
    }

    void answer(long ticket, String body) {
        if (!ended) {
            listener.answer(gear, ticket, shown(body), System.nanoTime());
        }
    }

    void refused(long ticket, boolean silent, @Nullable String why) {
        if (!ended) {
            listener.refused(gear, ticket, silent, why == null ? null : shown(why));
        }
    }

    /** From here on nobody listens. */
    void end() {
        ended = true;
        up = false;
    }
}
