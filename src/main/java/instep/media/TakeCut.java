package instep.media;

import java.util.List;

/**
 * A take as a rough cut shows it.
 *
 * @param name for a person, and for the file in which it is kept meanwhile
 * @param sound as long as the pictures; empty: there is none
 */
public record TakeCut(String name, List<Stretch> pictures, List<Stretch> sound) {
    public TakeCut {
        pictures = List.copyOf(pictures);
        sound = List.copyOf(sound);
    }

    /** How many frames it has. */
    public long frames() {
        return pictures.stream().mapToLong(Stretch::frames).sum();
    }
}
