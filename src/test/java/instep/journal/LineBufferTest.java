package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.jr.ob.JSON;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.Map;
import java.util.zip.CRC32C;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class LineBufferTest {
    // RFC 3720, appendix B.4: CRC examples, and the check value that catalogues give for CRC-32C.
    @ParameterizedTest
    @CsvSource({
        "0000000000000000000000000000000000000000000000000000000000000000, 8a9136aa",
        "ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff, 62a8ab43",
        "000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f, 46dd794e",
        "1f1e1d1c1b1a191817161514131211100f0e0d0c0b0a09080706050403020100, 113fdb5c",
        "313233343536373839, e3069283"
    })
    void bothChecksumsAreThatOfTheStandard(String hex, String crc) {
        byte[] bytes = HexFormat.of().parseHex(hex);
        CRC32C jdk = new CRC32C();
        jdk.update(bytes, 0, bytes.length);
        assertThat("%08x".formatted(jdk.getValue())).isEqualTo(crc);
        assertThat(Crc32cBitByBit.hex(bytes)).isEqualTo(crc);
    }

    // RFC 8259, section 7: quotation mark, reverse solidus and U+0000 to U+001F are escaped, and nothing else must be.
    @Test
    void escapesWhatJsonAsksForAndNothingElse() throws CharacterCodingException {
        StringBuilder all = new StringBuilder();
        StringBuilder expected = new StringBuilder("\"");
        for (int c = 0; c < 0x80; c++) {
            all.append((char) c);
            if (c < 0x20) {
                expected.append("\\u%04x".formatted(c));
            } else {
                expected.append(c == '"' || c == '\\' ? "\\" : "").append((char) c);
            }
        }
        assertThat(utf8(written(all.append("äλ€😀").toString())))
                .isEqualTo(expected.append("äλ€😀\"").toString());
    }

    @Test
    void keepsHalfASurrogatePairAsAnEscape() throws CharacterCodingException {
        assertThat(utf8(written("a\ud83d"))).isEqualTo("\"a\\ud83d\"");
        assertThat(utf8(written("\ude00\ud83d."))).isEqualTo("\"\\ude00\\ud83d.\"");
    }

    /** Jackson is a reader that is not ours. */
    @Property
    void anyTextComesBack(@ForAll String text) throws IOException {
        LineBuffer lines = new LineBuffer();
        Pending record = new Pending(1, 2, 3, Happening.fault(text));
        lines.append(record, "2026-03-02T10:00:00.000000000Z", new Timecode(FrameRate.R25, 3));
        String line = utf8(lines.asByteBuffer());
        assertThat(line.indexOf('\n')).isEqualTo(line.length() - 1);
        Map<String, Object> fields = JSON.std.mapFrom(line);
        assertThat(fields).containsEntry("text", text).containsEntry("tc", "00:00:00:03");
    }

    private static ByteBuffer written(String text) {
        LineBuffer lines = new LineBuffer();
        lines.string(text);
        return lines.asByteBuffer();
    }

    /** Refuses bytes that are no UTF-8. */
    private static String utf8(ByteBuffer bytes) throws CharacterCodingException {
        return StandardCharsets.UTF_8.newDecoder().decode(bytes).toString();
    }
}
