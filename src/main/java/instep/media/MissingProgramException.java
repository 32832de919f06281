package instep.media;

import java.io.IOException;

/** A program that is not on this machine; the message says how to get it. */
public final class MissingProgramException extends IOException {
    MissingProgramException(String program, IOException cause) {
        super(
                program + " cannot be started: is it installed? On Debian it comes with: sudo apt-get install ffmpeg",
                cause);
    }
}
