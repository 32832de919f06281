package instep.journal;

/** How much a power cut may take. A kill of the daemon alone loses only what its writer thread had not yet written, microseconds' worth. */
public enum Durability {
    /** Each group is forced to the disk before its lines appear in the event log. */
    EACH,
    /** What was written is forced to the disk at most 100 ms later. */
    GROUP,
    /** The operating system decides. */
    OS
}
