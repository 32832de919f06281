package instep.gear;

/** How one message in a stream of bytes is told from the next: by the end of a line, or by a length before it. */
public sealed interface Framing permits GearSettings.LineEnd, Framing.Length {
    /**
     * Each message, both ways, comes after its length in bytes, which is a number without a sign, most significant byte first.
     *
     * @param bytes how long that number is: 1, 2 or 4
     */
    record Length(int bytes) implements Framing {
        public Length {
            if (bytes != 1 && bytes != 2 && bytes != 4) {
                throw new IllegalArgumentException("a length of " + bytes + " bytes");
            }
        }
    }
}
