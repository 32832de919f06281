package instep.gear;

/**
 * Sees every byte that goes to gear and comes from it, as the socket has it, or as it is within TLS; for setting up. A secret has asterisks in its place. Called
 * on the loop thread.
 */
@FunctionalInterface
public interface Tap {
    /** Some bytes, to the gear ({@code out}) or from it. */
    void bytes(boolean out, byte[] bytes);
}
