package instep.sound;

import java.io.IOException;

/** A sound to which somebody else listens, too: a file is decoded once for both. */
public record Overheard(Heard sound, Heard.Listener other) implements Heard {
    @Override
    public void listen(Listener to) throws IOException {
        sound.listen((samples, count) -> {
            other.hear(samples, count);
            to.hear(samples, count);
        });
    }

    @Override
    public float[] piece(long from, int count) throws IOException {
        return sound.piece(from, count);
    }
}
