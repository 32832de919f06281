package instep.command;

import sun.misc.Signal;
import sun.misc.SignalHandler;

/** SIGHUP, by which a service manager asks a program to read its configuration again. Java has no other way to hear a signal; the build compiles this class by itself. */
final class HangUp {
    private HangUp() {}

    /** Has the task done whenever the signal comes, on a thread of its own; false if Java does not hear it, since it was started with {@code -Xrs} or with the signal ignored, as {@code nohup} does. */
    static boolean heard(Runnable task) {
        try {
            return Signal.handle(new Signal("HUP"), signal -> task.run()) != SignalHandler.SIG_IGN;
        } catch (IllegalArgumentException e) {
            return false;
        }
    }
}
