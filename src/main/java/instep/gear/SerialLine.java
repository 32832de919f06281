package instep.gear;

/**
 * How a serial line is set: speed and the shape of a character (EIA-232).
 *
 * @param baud bits a second, one of the speeds that the kernel names
 * @param dataBits 7 or 8
 * @param stopBits 1 or 2
 */
public record SerialLine(int baud, int dataBits, Parity parity, int stopBits) {
    /** The bit that makes the ones of a character even or odd in number. */
    public enum Parity {
        NONE,
        EVEN,
        ODD
    }

    /** 9600 baud, eight bits, no parity, one stop bit: what most devices come with (common practice, no source). */
    public static final SerialLine USUAL = new SerialLine(9_600, 8, Parity.NONE, 1);
}
