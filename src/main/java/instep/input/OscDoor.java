package instep.input;

import instep.input.net.OscPacket;
import instep.input.net.OscPattern;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.channel.socket.DatagramPacket;
import java.net.InetAddress;
import java.util.List;

/** OSC packets in datagrams: the address of a message says which contact is meant, its argument says whether it is closed. */
final class OscDoor extends SimpleChannelInboundHandler<DatagramPacket> {
    /** What one datagram may bear. */
    static final int MOST_BYTES = 8 * 1_024;

    private final Door door;
    private final List<NetContact> contacts;

    OscDoor(Door door, List<NetContact> contacts) {
        this.door = door;
        this.contacts = contacts;
    }

    @Override
    protected void channelRead0(ChannelHandlerContext ctx, DatagramPacket datagram) {
        long nanos = System.nanoTime();
        InetAddress sender = datagram.sender().getAddress();
        if (!door.admits(sender, nanos)) {
            return;
        }
        List<OscPacket.Message> messages;
        try {
            messages = OscPacket.read(datagram.content().nioBuffer().slice());
        } catch (IllegalArgumentException e) {
            door.odd(sender, "sends what is no OSC that a contact could follow: " + e.getMessage(), nanos);
            return;
        }
        messages.forEach(message -> take(message, sender, nanos));
    }

    private void take(OscPacket.Message message, InetAddress sender, long nanos) {
        boolean meant = false;
        for (int i = 0; i < contacts.size(); i++) {
            if (OscPattern.matches(message.address(), contacts.get(i).closed())) {
                meant = true;
                if (Double.isNaN(message.value())) {
                    door.contacts().step(i, nanos);
                } else {
                    door.contacts().value(i, message.value(), nanos);
                }
            }
        }
        if (!meant) {
            door.odd(sender, "sends to " + Oddities.quote(message.address()) + ", which is no contact", nanos);
        }
        door.watchSilence();
    }

    /** Nothing that a sender or the network does ends it. */
    @Override
    public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
        if (!(cause instanceof java.io.IOException)) {
            ctx.fireExceptionCaught(cause);
        }
    }
}
