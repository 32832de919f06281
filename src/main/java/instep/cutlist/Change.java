package instep.cutlist;

/**
 * What a refinement has done to a take.
 *
 * @param refinement its name in a configuration
 * @param cuts how many cuts it moved or took away
 * @param passages how many passages it dropped or flagged
 * @param frames how many frames are left out because of it
 */
public record Change(String refinement, int cuts, int passages, long frames) {}
