package instep.machine;

import java.util.BitSet;

/** What a detour that went to another state returns to. */
final class Return {
    /** The state within which it left and enters; the root's number is the least. */
    int domain;
    /** The atomic states that it left. */
    final BitSet states;
    /** By state within the domain: the angle that was set there, and when in the order of all such acts. */
    final int[] angle;

    final long[] angleOrder;

    Return(int states) {
        this.states = new BitSet(states);
        angle = new int[states];
        angleOrder = new long[states];
    }

    void copyFrom(Return other) {
        domain = other.domain;
        states.clear();
        states.or(other.states);
        copyAngles(other.angle, other.angleOrder, 0, angle.length);
    }

    void copyAngles(int[] fromAngle, long[] fromOrder, int first, int end) {
        System.arraycopy(fromAngle, first, angle, first, end - first);
        System.arraycopy(fromOrder, first, angleOrder, first, end - first);
    }
}
