package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.handler.codec.http.HttpResponseStatus;
import io.netty.util.concurrent.ScheduledFuture;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** A request and what has come of it so far. Loop thread only. */
final class Exchange implements Outgoing {
    /** More than this is not read. */
    static final int MOST_BODY_BYTES = 1 << 20;

    /** So much of it is kept for those who look for something in it. */
    static final int MOST_KEPT_BYTES = 16 * 1_024;

    /** So much of a body is kept, to say why a request was refused. */
    private static final int WORTH_READING = 160;

    /** Doing it twice does no more than doing it once (RFC 9110, section 9.2.2). */
    private static final Set<String> IDEMPOTENT = Set.of("GET", "HEAD", "PUT", "DELETE", "OPTIONS");

    /** More redirections than this are a circle. */
    private static final int MOST_HOPS = 5;

    private final Payload.Http asked;
    private Wire wire;
    private String method;
    private String location = "";
    private String unfollowed = "";
    private int hops;
    private final long ticket;
    private final long deadline;
    private final StringBuilder said = new StringBuilder();
    private final ByteArrayOutputStream kept = new ByteArrayOutputStream(0);
    private @Nullable HttpResponseStatus status;
    private @Nullable ScheduledFuture<?> patience;
    private int bodyBytes;
    private boolean sent;
    private boolean repeated;

    /** Nothing has been sent yet. */
    Exchange(Payload.Http asked, Wire wire, long ticket, long deadline) {
        this.asked = asked;
        this.method = asked.method();
        this.wire = wire;
        this.ticket = ticket;
        this.deadline = deadline;
    }

    @Override
    public Wire wire() {
        return wire;
    }

    @Override
    public long ticket() {
        return ticket;
    }

    @Override
    public long deadline() {
        return deadline;
    }

    boolean isHead() {
        return method.equals("HEAD");
    }

    long withinNanos(long otherwise) {
        return asked.withinNanos() > 0 ? asked.withinNanos() : otherwise;
    }

    /** True the first time. */
    boolean markSent() {
        boolean first = !sent;
        sent = true;
        return first;
    }

    @Override
    public boolean isSent() {
        return sent;
    }

    /** True once, for a request that may be repeated and has had no answer at all. */
    boolean mayRepeat() {
        boolean may = !repeated && status == null && IDEMPOTENT.contains(method);
        repeated = true;
        return may;
    }

    /** Waits for the next step with this timer instead of the last one. */
    void waitWith(@Nullable ScheduledFuture<?> timer) {
        if (patience != null) {
            patience.cancel(false);
        }
        patience = timer;
    }

    void status(HttpResponseStatus answered, @Nullable String at) {
        status = answered;
        location = at == null ? "" : at;
    }

    /** Whether it was told to ask elsewhere, with a status that the message does not ask for. */
    boolean isRedirected() {
        int code = status == null ? 0 : status.code();
        return asked.expectStatus() == 0 && (code == 301 || code == 302 || code == 303 || code == 307 || code == 308);
    }

    /** What it asks for now, as it stands in the request line. */
    String target() {
        int from = method.length() + 1;
        int to = wire.bytes().indexOf(from, wire.bytes().writerIndex(), (byte) ' ');
        return wire.bytes().toString(from, to - from, StandardCharsets.US_ASCII);
    }

    /** Where it was told to ask; as it was said. */
    String location() {
        return location;
    }

    /** Why it does not ask there. */
    void stay(String why) {
        unfollowed = why;
    }

    /**
     * Becomes the request that a redirection asks for, or returns false where that could do something else than was meant: only GET and HEAD may be
     * sent elsewhere with every status, others with 307 and 308, or as a GET with 303 (RFC 9110, section 15.4).
     */
    boolean redirect(String target) {
        int code = status == null ? 0 : status.code();
        boolean safe = method.equals("GET") || method.equals("HEAD");
        if (++hops > MOST_HOPS || !(safe || code == 303 || code >= 307)) {
            return false;
        }
        method = safe || code >= 307 ? method : "GET";
        Wire next = HttpEncoder.redirected(wire, method, target);
        wire.release();
        wire = next;
        status = null;
        said.setLength(0);
        bodyBytes = 0;
        return true;
    }

    /** Takes a piece of the body, or returns false when that makes too much. */
    boolean body(ByteBuf piece) {
        int keep = Math.min(piece.readableBytes(), WORTH_READING - said.length());
        if (keep > 0) {
            said.append(piece.toString(piece.readerIndex(), keep, StandardCharsets.UTF_8));
        }
        if (bodyBytes + piece.readableBytes() <= MOST_KEPT_BYTES) {
            byte[] more = new byte[piece.readableBytes()];
            piece.getBytes(piece.readerIndex(), more);
            kept.writeBytes(more);
        }
        bodyBytes += piece.readableBytes();
        return bodyBytes <= MOST_BODY_BYTES;
    }

    /** Ends with its answer, and tells what it was. */
    void tell(Report report) {
        wire.release();
        if (isDone()) {
            whole().ifPresent(body -> report.answer(ticket, body));
            report.reply(ticket, outcome());
        } else {
            report.refused(ticket, false, outcome());
        }
    }

    /** Ends without an answer. */
    void fail(Report report, String why) {
        waitWith(null);
        wire.release();
        report.refused(ticket, true, why);
    }

    /** The body in whole, on one line; empty if there is none or it is too long to be looked at. */
    private Optional<String> whole() {
        return bodyBytes == 0 || kept.size() < bodyBytes
                ? Optional.empty()
                : Optional.of(
                        Render.spaced(kept.toString(StandardCharsets.UTF_8)).strip());
    }

    /** The final status has come, so what follows is only body. */
    boolean isAnswered() {
        return status != null;
    }

    private boolean isDone() {
        int code = status == null ? 0 : status.code();
        return asked.expectStatus() == 0 ? code >= 200 && code < 300 : code == asked.expectStatus();
    }

    /** The status, for people; where it is not the right one, with what the server said or what was expected. */
    private String outcome() {
        String line = Render.line(Lines.printable(String.valueOf(status)).strip());
        if (isDone()) {
            return line;
        }
        if (isRedirected()) {
            return line + " to " + Render.line(location) + unfollowed;
        }
        String body = Render.line(said.toString()).strip();
        String wanted = asked.expectStatus() == 0 ? "" : ", but " + asked.expectStatus() + " was expected";
        return line + wanted + (body.isEmpty() ? "" : ": " + body);
    }
}
