package instep.command;

import instep.daemon.Exit;
import java.util.LinkedHashSet;
import java.util.Set;

/** What a command has to say on standard error while it works: each thing once, and not without end. */
final class Complaints {
    /** More than that nobody reads, and a damaged journal may give as many as it has lines. */
    private static final int MOST = 1_000;

    private final Set<String> told = new LinkedHashSet<>();
    private int code = Exit.FINE;
    private boolean tooMany;

    /** Something that a person should know. */
    void tell(String what) {
        if (told.size() < MOST) {
            if (told.add(what)) {
                System.err.println("instep: " + what);
            }
        } else if (!told.contains(what) && !tooMany) {
            tooMany = true;
            System.err.println("instep: and more of the like; `instep journal verify` lists all that is damaged");
        }
    }

    /** Something because of which the work has failed, at least in part. */
    void fail(String what) {
        code = Exit.FAILED;
        tell(what);
    }

    /** The exit code. */
    int code() {
        return code;
    }

    /** All that was told. */
    Set<String> told() {
        return told;
    }
}
