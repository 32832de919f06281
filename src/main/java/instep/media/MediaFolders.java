package instep.media;

import instep.cutlist.Recording;
import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemLoopException;
import java.nio.file.FileVisitOption;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeMap;

/** The recorded files of some folders and all folders in them. Hidden ones are left out. */
public final class MediaFolders {
    /** Ends of names that promise a recording. */
    private static final Set<String> PROMISING = Set.of(
            "mov", "mp4", "m4v", "mxf", "mkv", "webm", "avi", "mts", "m2ts", "ts", "mpg", "mpeg", "wmv", "3gp", "dv",
            "wav", "bwf", "aif", "aiff", "flac", "mp3", "m4a", "aac", "ogg");

    /**
     * What was found.
     *
     * @param unreadable files that are named as recordings are and cannot be read, each with the reason
     * @param others how many files there are that are no recordings
     */
    public record Found(List<Recording> recordings, List<String> unreadable, int others) {
        public Found {
            recordings = List.copyOf(recordings);
            unreadable = List.copyOf(unreadable);
        }
    }

    private final Ffprobe probe;
    private final List<Recording> recordings = new ArrayList<>();
    private final List<String> unreadable = new ArrayList<>();
    private int others;

    private MediaFolders(Ffprobe probe) {
        this.probe = probe;
    }

    /** Looks at each file once, in whatever way it is reached. A folder's own name counts as a part of the names in it. */
    public static Found look(List<Path> folders, Ffprobe probe) throws IOException {
        MediaFolders media = new MediaFolders(probe);
        TreeMap<Path, String> names = new TreeMap<>();
        for (Path given : folders) {
            Path folder = given.toAbsolutePath().normalize();
            Path above = folder.getParent();
            for (Path file : media.files(folder)) {
                Path below = above == null ? file : above.relativize(file);
                names.putIfAbsent(file, below.toString());
            }
        }
        for (var entry : names.entrySet()) {
            media.look(entry.getKey(), entry.getValue());
        }
        return new Found(media.recordings, media.unreadable, media.others);
    }

    private void look(Path file, String name) throws IOException {
        try {
            recordings.add(probe.read(file, name));
        } catch (UnreadableException e) {
            if (isPromising(name)) {
                unreadable.add(name + " " + e.getMessage());
            } else {
                others++;
            }
        }
    }

    private static boolean isPromising(String name) {
        return PROMISING.contains(name.substring(name.lastIndexOf('.') + 1).toLowerCase(Locale.ROOT));
    }

    private List<Path> files(Path folder) throws IOException {
        List<Path> files = new ArrayList<>();
        Files.walkFileTree(folder, EnumSet.of(FileVisitOption.FOLLOW_LINKS), 64, new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult preVisitDirectory(Path place, BasicFileAttributes attributes) {
                return isHidden(place, folder) ? FileVisitResult.SKIP_SUBTREE : FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes attributes) {
                if (attributes.isRegularFile() && !isHidden(file, folder)) {
                    files.add(file);
                }
                return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult visitFileFailed(Path file, IOException why) throws IOException {
                if (file.equals(folder)) {
                    throw new IOException("there is no folder or file " + folder, why);
                }
                unreadable.add(file + " cannot be opened: " + reason(why));
                return FileVisitResult.CONTINUE;
            }
        });
        return files;
    }

    private static String reason(IOException why) {
        if (why instanceof FileSystemLoopException) {
            return "it is a link to a folder that it lies in";
        }
        if (why instanceof AccessDeniedException) {
            return "this user may not read it";
        }
        return why instanceof NoSuchFileException ? "it is gone" : "the system says no";
    }

    private static boolean isHidden(Path place, Path folder) {
        return !place.equals(folder) && String.valueOf(place.getFileName()).startsWith(".");
    }
}
