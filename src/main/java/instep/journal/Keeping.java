package instep.journal;

/**
 * How a journal is kept on its disk.
 *
 * @param fileBytes a day's file that has grown so large is followed by a further one
 * @param budgetBytes what all files of the folder's journal may take; beyond that the oldest closed takes are removed
 */
public record Keeping(Durability durability, long fileBytes, long budgetBytes) {
    /** Forced in groups; about eight busy hours in a file, and a month of such days in all. */
    public static final Keeping DEFAULT = new Keeping(Durability.GROUP, 100_000_000L, 4_000_000_000L);
}
