package instep.journal;

/** What the journal says of records that it had to give up, for tests of those who read it. */
public final class Losses {
    private Losses() {}

    /** So many were given up before this one. */
    public static Happening of(long records) {
        return Gaps.lost(records);
    }
}
