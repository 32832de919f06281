package instep.command;

import java.nio.file.Path;

/** What is said where takes were asked for by number or day and the journal has none of these. */
final class NoTake {
    private NoTake() {}

    static String in(Path journal) {
        return "there is no such take in " + journal + ": `instep journal takes " + journal
                + "` lists those that there are";
    }
}
