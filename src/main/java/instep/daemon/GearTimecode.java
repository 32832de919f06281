package instep.daemon;

import instep.config.Settings;
import instep.gear.ReplyPattern;
import instep.journal.Happening;
import instep.machine.Template;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import instep.time.Timecode;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** What timecode gear tells of its own, and when it was asked for it. Loop thread only. */
final class GearTimecode {
    /** Who wants to know. */
    interface Listener {
        /** The gear has told its timecode; {@code asked}: when it was asked for that, negative if it has spoken by itself. */
        void reported(Timecode label, long asked, long heard);
    }

    private static final long NEVER = -1;
    private static final long SECOND = 1_000_000_000L;

    private final FrameRate rate;
    private final Settings settings;
    private final long[] asked;
    private final long[] written;
    private final BitSet complained = new BitSet();
    private int followed = -1;
    private @Nullable Listener listener;

    GearTimecode(Settings settings) {
        this.settings = settings;
        rate = settings.timecode().rate();
        asked = new long[settings.gear().size()];
        written = new long[settings.gear().size()];
        Arrays.fill(asked, NEVER);
        Arrays.fill(written, Long.MIN_VALUE);
    }

    /** From now on tells what that gear says. */
    void tell(int gear, Listener to) {
        followed = gear;
        listener = to;
    }

    /** It was sent what is asked over and over. */
    void asked(int gear, long nanos) {
        asked[gear] = nanos;
    }

    /** The label in what it has said; empty if none of the patterns finds one. */
    Optional<String> label(List<Ears.Heard> heard) {
        return heard.stream()
                .filter(one -> one.pattern().timecode() != null)
                .map(one -> label(one.pattern(), one))
                .findFirst();
    }

    private static String label(ReplyPattern pattern, Ears.Heard heard) {
        Template said = pattern.timecode();
        return said == null ? "" : said.render(heard.values(), Template.Escape.NONE);
    }

    /** It has shown that label; returns a fault if it is none, once until it is one again. */
    Optional<Happening> heard(int gear, String label, long nanos) {
        long since = asked[gear];
        asked[gear] = NEVER;
        try {
            Timecode read = Timecode.parse(separated(label), rate);
            complained.clear(gear);
            if (gear == followed && listener != null) {
                listener.reported(read, since, nanos);
            }
            return Optional.empty();
        } catch (TimeSyntaxException e) {
            boolean isKnown = complained.get(gear);
            complained.set(gear);
            String text = "the timecode of " + settings.gear().get(gear).name() + ": " + e.getMessage();
            return isKnown ? Optional.empty() : Optional.of(Happening.fault(text));
        }
    }

    /** Not every gear writes drop-frame labels with another sign before the frames. */
    private String separated(String label) {
        int at = label.length() - 3;
        boolean isSign = at > 0 && ":;.,".indexOf(label.charAt(at)) >= 0;
        return isSign ? label.substring(0, at) + (rate.isDropFrame() ? ";" : ":") + label.substring(at + 1) : label;
    }

    /** Whether a reply of which nothing else follows is worth a record: one in a second is. */
    boolean isWritten(int gear, long nanos) {
        boolean is = written[gear] == Long.MIN_VALUE || nanos - written[gear] >= SECOND;
        if (is) {
            written[gear] = nanos;
        }
        return is;
    }
}
