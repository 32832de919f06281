package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import io.netty.channel.embedded.EmbeddedChannel;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** What one connection may hold of the memory that the page shares with the loop. */
class SluiceTest {
    @Test
    void keepsNoDirectMemoryOfWhatCame() {
        EmbeddedChannel channel = new EmbeddedChannel(new Sluice());
        List<ByteBuf> came = new ArrayList<>();
        for (int i = 0; i < 100; i++) {
            ByteBuf one = Unpooled.directBuffer(2_048).writeByte(i);
            came.add(one);
            channel.writeInbound(one);
        }
        assertThat(came).allMatch(one -> one.refCnt() == 0);
        for (byte i = 0; i < 100; i++) {
            ByteBuf read = channel.readInbound();
            assertThat(read.isDirect()).isFalse();
            assertThat(read.readByte()).isEqualTo(i);
        }
    }

    @Test
    void handsOverWhatIsLargePieceByPiece() {
        EmbeddedChannel channel = new EmbeddedChannel(new Sluice());
        byte[] large = new byte[3 * Sluice.PIECE_BYTES + 1];
        channel.writeOutbound(Unpooled.wrappedBuffer(large), Unpooled.wrappedBuffer(new byte[] {7}));
        List<Integer> sizes = new ArrayList<>();
        for (ByteBuf piece = channel.readOutbound(); piece != null; piece = channel.readOutbound()) {
            sizes.add(piece.readableBytes());
        }
        assertThat(sizes).containsExactly(Sluice.PIECE_BYTES, Sluice.PIECE_BYTES, Sluice.PIECE_BYTES, 1, 1);
    }
}
