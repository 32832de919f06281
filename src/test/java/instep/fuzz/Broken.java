package instep.fuzz;

/** What must hold of any input does not. */
final class Broken extends RuntimeException {
    private static final long serialVersionUID = 1L;

    private Broken(String what) {
        super(what);
    }

    static void unless(boolean holds, String what) {
        if (!holds) {
            throw new Broken(what);
        }
    }
}
