package instep.gear;

import instep.machine.Values;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ScheduledFuture;
import org.jspecify.annotations.Nullable;

/** The steps of one message for one gear, and how far they have come. Loop thread only. */
final class Errand {
    /** Where the present step stands. */
    enum Stage {
        /** Its time has not come. */
        PAUSED,
        /** It is on its way to the socket. */
        LEAVING,
        /** It is out, and the answer is awaited. */
        AWAITING
    }

    private final List<Message.Step> steps;
    private final Values values;
    private final long ticket;
    /** After that, nothing is repeated. */
    private final long repeatBefore;

    private @Nullable ScheduledFuture<?> timer;
    private Stage stage = Stage.PAUSED;
    private int at;
    private int repeated;
    private boolean lookedRight;
    /** What came last while its answer was awaited. */
    private @Nullable String heard;

    private boolean cutShort;

    Errand(List<Message.Step> steps, Values values, long ticket, long repeatBefore) {
        this.steps = steps;
        this.values = frozen(steps, values);
        this.ticket = ticket;
        this.repeatBefore = repeatBefore;
    }

    /** The values that the steps use, as they are now. */
    private static Values frozen(List<Message.Step> steps, Values values) {
        Map<String, Object> now = new HashMap<>();
        for (Message.Step step : steps) {
            for (String name : Render.names(step.payload())) {
                Object value = values.value(name);
                if (value != null) {
                    now.put(name, value);
                }
            }
        }
        return now::get;
    }

    long ticket() {
        return ticket;
    }

    Values values() {
        return values;
    }

    Message.Step step() {
        return steps.get(at);
    }

    Stage stage() {
        return stage;
    }

    void enter(Stage next) {
        stage = next;
        waitWith(null);
        if (next == Stage.LEAVING) {
            lookedRight = false;
            heard = null;
        }
    }

    /** Waits for the next thing with this timer instead of the last one. */
    void waitWith(@Nullable ScheduledFuture<?> next) {
        if (timer != null) {
            timer.cancel(false);
        }
        timer = next;
    }

    /** Goes to the next step; false if there is none. */
    boolean advance() {
        at++;
        repeated = 0;
        stage = Stage.PAUSED;
        return at < steps.size() && !cutShort;
    }

    /** The steps behind the present one. */
    List<Message.Step> rest() {
        return steps.subList(Math.min(at + 1, steps.size()), steps.size());
    }

    /** Something later has taken its place: nothing of it is said any more, though the answer to what was said may still come. */
    void cutShort() {
        cutShort = true;
    }

    boolean isCutShort() {
        return cutShort;
    }

    /** Something came that is not what its step expects. */
    void heardInstead(String text) {
        heard = text;
    }

    /** That something, in words that follow others; empty if nothing came. */
    String instead() {
        return heard == null || heard.isBlank() ? "" : "; it said: " + Render.line(heard);
    }

    /** The body of the answer was the one that was expected. */
    void lookedRight() {
        lookedRight = true;
    }

    boolean isRight() {
        Message.Expect expect = step().expect();
        return expect == null || lookedRight;
    }

    /** Whether the step may be said once more; true as often as it may. */
    boolean repeats(long now) {
        return !cutShort && now - repeatBefore < 0 && repeated++ < step().retries();
    }
}
