package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import io.netty.buffer.Unpooled;
import io.netty.channel.Channel;
import io.netty.handler.codec.http.DefaultHttpHeaders;
import io.netty.handler.codec.http.HttpClientCodec;
import io.netty.handler.codec.http.HttpHeaders;
import io.netty.handler.codec.http.HttpObjectAggregator;
import io.netty.handler.codec.http.websocketx.WebSocketClientProtocolConfig;
import io.netty.handler.codec.http.websocketx.WebSocketClientProtocolHandler;
import io.netty.handler.codec.http.websocketx.WebSocketFrameAggregator;
import io.netty.handler.codec.http.websocketx.WebSocketVersion;
import io.netty.util.concurrent.Future;
import java.net.URI;
import org.jspecify.annotations.Nullable;

/** The client's side of a WebSocket (RFC 6455), over TCP or TLS: text and JSON go out in text frames, hex in binary ones. */
final class WebSocketPlug implements Plug {
    /** The first byte of what is written into the channel is the frame's opcode (RFC 6455, section 5.2). */
    static final int TEXT = 0x1;

    static final int BINARY = 0x2;
    static final int PING = 0x9;
    private static final int MOST_ANSWER_BYTES = 8 * 1_024;

    private final GearSettings.WebSocket settings;
    private final Net net;
    private final @Nullable Secure secure;
    private final HttpHeaders headers = new DefaultHttpHeaders();

    /** Blocks on the files of TLS and of a secret, if there are any. */
    WebSocketPlug(GearSettings.WebSocket settings, Net net, Report report) throws UnfitException {
        this.settings = settings;
        this.net = net;
        this.secure = Secure.to(settings, settings.access().tls());
        settings.headers()
                .forEach((name, value) -> headers.set(name, net.secrets().fill(value)));
        String authorization = settings.access().authorization(report);
        if (!authorization.isEmpty()) {
            headers.set("Authorization", authorization);
        }
    }

    @Override
    public Wire.Encoder encoder() {
        TextEncoder plain = new TextEncoder(GearSettings.LineEnd.NONE);
        return (payload, values) -> {
            if (payload instanceof Payload.Ping) {
                return new Wire(Unpooled.wrappedBuffer(new byte[] {PING, 'i', 'n', 's', 't', 'e', 'p'}), "ping");
            }
            Wire wire = plain.encode(payload, values);
            ByteBuf out = ByteBufAllocator.DEFAULT.directBuffer(1 + wire.bytes().readableBytes());
            out.writeByte(payload instanceof Payload.Bytes ? BINARY : TEXT).writeBytes(wire.bytes());
            wire.release();
            return new Wire(out, wire.text());
        };
    }

    @Override
    public void wire(Channel channel, Hearer hearer) {
        if (secure != null) {
            secure.wire(channel);
        }
        WebSocketEars ears = new WebSocketEars(channel, hearer, net, settings.pingNanos());
        channel.pipeline()
                .addLast(
                        new HttpClientCodec(),
                        new HttpObjectAggregator(MOST_ANSWER_BYTES),
                        new WebSocketClientProtocolHandler(handshake()),
                        new WebSocketFrameAggregator(Frames.LONGEST_BYTES),
                        new WebSocketMouth(),
                        ears);
    }

    private WebSocketClientProtocolConfig handshake() {
        String where = Reasons.where(settings.host(), settings.port());
        return WebSocketClientProtocolConfig.newBuilder()
                .webSocketUri(URI.create((secure == null ? "ws://" : "wss://") + where + settings.path()))
                .version(WebSocketVersion.V13)
                .customHeaders(headers)
                .generateOriginHeader(false)
                .maxFramePayloadLength(Frames.LONGEST_BYTES)
                .handshakeTimeoutMillis(Net.CONNECT_TIMEOUT_MILLIS)
                .forceCloseTimeoutMillis(Net.CONNECT_TIMEOUT_MILLIS)
                .dropPongFrames(false)
                .build();
    }

    @Override
    public Future<?> agreed(Channel connected) {
        return connected.pipeline().get(WebSocketEars.class).agreed();
    }
}
