package instep.gear;

import org.jspecify.annotations.Nullable;

/**
 * Where what one gear does is reported to: the listener of the day and the number under which that one knows the gear. Both change when another configuration
 * comes into force, while the link stays up. Loop thread only.
 */
final class Post implements GearListener {
    private @Nullable GearListener listener;
    private int gear;

    /** Nobody listens before {@link #to}. */
    Post() {}

    Post(GearListener listener, int gear) {
        to(listener, gear);
    }

    /** From now on to that listener, under that number. */
    void to(GearListener other, int number) {
        listener = other;
        gear = number;
    }

    int gear() {
        return gear;
    }

    @Override
    public void link(int number, LinkState state, String why) {
        if (listener != null) {
            listener.link(gear, state, why);
        }
    }

    @Override
    public void sent(int number, long ticket, String text, long nanos) {
        if (listener != null) {
            listener.sent(gear, ticket, text, nanos);
        }
    }

    @Override
    public void missed(int number, long ticket, String text, String why) {
        if (listener != null) {
            listener.missed(gear, ticket, text, why);
        }
    }

    @Override
    public void reply(int number, long ticket, String text, long nanos) {
        if (listener != null) {
            listener.reply(gear, ticket, text, nanos);
        }
    }

    @Override
    public void answer(int number, long ticket, String body, long nanos) {
        if (listener != null) {
            listener.answer(gear, ticket, body, nanos);
        }
    }

    @Override
    public void asked(int number, long nanos) {
        if (listener != null) {
            listener.asked(gear, nanos);
        }
    }

    @Override
    public void refused(int number, long ticket, boolean silent, @Nullable String why) {
        if (listener != null) {
            listener.refused(gear, ticket, silent, why);
        }
    }
}
