package instep.cutlist;

/**
 * What a refinement has done to a take.
 *
 * @param refinement its name in a configuration
 * @param cuts how many cuts it moved or took away; of {@code snap} how many ends of passages it moved
 * @param passages how many passages it dropped or flagged
 * @param frames how many frames are left out because of it
 */
public record Change(String refinement, int cuts, int passages, long frames) {
    /** What it did to the cuts, in words. */
    public String words() {
        if (refinement.equals(Refined.SNAP)) {
            return cuts + (cuts == 1 ? " end moved" : " ends moved");
        }
        return cuts + (cuts == 1 ? " cut " : " cuts ") + (refinement.equals(Refined.LEAD) ? "moved" : "taken away");
    }
}
