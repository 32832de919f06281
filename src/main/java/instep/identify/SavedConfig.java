package instep.identify;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;

/** A file with a first configuration, written anew with each contact that is found, so that it is whole whenever it is looked at. */
public final class SavedConfig implements Presses.Listener {
    private final Path file;

    /** A file that is not there yet. */
    public SavedConfig(Path file) {
        this.file = file;
    }

    @Override
    public void found(FoundPedals pedals, FoundContact contact) {
        save(pedals);
    }

    @Override
    public void bounces(FoundPedals pedals, FoundContact contact, String words) {
        save(pedals);
    }

    private void save(FoundPedals pedals) {
        Path part = file.resolveSibling(file.getFileName() + ".part");
        try {
            Files.writeString(part, StarterConfig.text(pedals));
            Files.move(part, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
