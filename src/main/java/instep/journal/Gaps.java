package instep.journal;

/** The faults that tell of records which are missing, and stand in place of them. */
final class Gaps {
    private Gaps() {}

    /** Records before this one were given up, because the disk did not take them. */
    static Happening lost(long records) {
        String text = records + " records before this one are lost: the disk did not take them in time";
        return new Happening(Kind.FAULT, Key.TEXT, text, Key.GAP, records);
    }

    /** Lines were damaged here; so many records before this one are missing by number, and it stands in place of one itself. */
    static Happening damaged(long records, long before) {
        String text = records + (records == 1 ? " record is" : " records are")
                + " missing here: damaged lines were left out by a repair";
        return new Happening(Kind.FAULT, Key.TEXT, text, Key.GAP, before);
    }

    /** So many records of closed takes were removed here; it stands in place of the last of them. */
    static Happening removed(long records) {
        String text = records + (records == 1 ? " record was" : " records were")
                + " removed here to keep the journal within its budget";
        return new Happening(Kind.FAULT, Key.TEXT, text, Key.GAP, records > 1 ? records - 1 : null);
    }
}
