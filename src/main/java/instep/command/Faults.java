package instep.command;

import instep.config.ConfigException;
import instep.daemon.Exit;

/** Tells a person what is wrong with a configuration. */
final class Faults {
    private Faults() {}

    /** All of it on standard error; returns the exit code. */
    static int tell(ConfigException fault) {
        fault.faults().forEach(System.err::println);
        int count = fault.faults().size();
        System.err.println(count == 1 ? "1 fault; nothing was started." : count + " faults; nothing was started.");
        return Exit.WRONG;
    }
}
