package instep.journal;

/** CRC-32C straight from the polynomial of RFC 3720, section 12.1 (0x11EDC6F41, reflected 0x82F63B78): slow, and not the JDK's. */
final class Crc32cBitByBit {
    private Crc32cBitByBit() {}

    static String hex(byte[] bytes) {
        int crc = -1;
        for (byte b : bytes) {
            crc ^= b & 0xFF;
            for (int bit = 0; bit < 8; bit++) {
                crc = (crc & 1) == 0 ? crc >>> 1 : (crc >>> 1) ^ 0x82F63B78;
            }
        }
        return "%08x".formatted(~crc);
    }
}
