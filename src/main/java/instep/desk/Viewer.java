package instep.desk;

import io.netty.buffer.ByteBuf;
import io.netty.channel.Channel;
import io.netty.handler.codec.http.DefaultHttpContent;
import java.util.function.Supplier;

/** One page that is being looked at. It has one telling at a time on its way; what is new meanwhile it is told, all in one, when it has taken that. Desk thread only. */
final class Viewer {
    private static final int PATIENCE_BEATS = 5;

    private final Channel channel;
    private final Supplier<ByteBuf> all;
    private boolean isUnderWay;
    private boolean isBehind;
    /** For how many beats in a row it has not taken what it was told. */
    private int missed;

    /** {@code all}: what tells it all. */
    Viewer(Channel channel, Supplier<ByteBuf> all) {
        this.channel = channel;
        this.all = all;
    }

    @SuppressWarnings("FutureReturnValueIgnored") // what follows it fails as well
    void begin(ByteBuf first) {
        channel.write(Answers.stream());
        send(first);
    }

    /** Tells it that, which stays the caller's; {@code isAll}: it must not miss it. */
    void tell(ByteBuf bytes, boolean isAll) {
        if (isUnderWay) {
            isBehind |= isAll;
        } else {
            send(bytes.retainedDuplicate());
        }
    }

    private void send(ByteBuf bytes) {
        isUnderWay = true;
        channel.writeAndFlush(new DefaultHttpContent(bytes)).addListener(taken -> {
            isUnderWay = false;
            missed = 0;
            if (isBehind && taken.isSuccess()) {
                isBehind = false;
                send(all.get());
            }
        });
    }

    /** A beat has gone by: lets it go if it has not read for too many. */
    @SuppressWarnings("FutureReturnValueIgnored")
    void beat() {
        missed = isUnderWay ? missed + 1 : 0;
        if (missed >= PATIENCE_BEATS) {
            channel.close();
        }
    }
}
