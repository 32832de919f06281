package instep.edit;

import instep.cutlist.Timeline;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/** The formats in which a timeline can be written; the end of a file's name says which is meant. */
public enum Format {
    /** An edit decision list of CMX 3600. */
    EDL(".edl"),
    /** OpenTimelineIO in JSON. */
    OTIO(".otio"),
    /** WebVTT: a file of chapters, and one of marks. */
    VTT(".vtt"),
    /** RFC 4180: a table of shots, and one of marks. */
    CSV(".csv"),
    /** A script for FFmpeg's concat demuxer. */
    FFCONCAT(".ffconcat");

    private final String suffix;

    Format(String suffix) {
        this.suffix = suffix;
    }

    /** The format of a file of that name; empty if there is none. */
    public static Optional<Format> of(String file) {
        return Arrays.stream(values())
                .filter(format -> file.endsWith(format.suffix) && file.length() > format.suffix.length())
                .findFirst();
    }

    /** The ends of names. */
    public static List<String> suffixes() {
        return Arrays.stream(values()).map(Format::suffix).toList();
    }

    /** The end of a file's name. */
    public String suffix() {
        return suffix;
    }

    /** Writes a timeline that is not empty. */
    public Written write(Timeline timeline) {
        return switch (this) {
            case EDL -> EdlWriter.write(timeline);
            case OTIO -> OtioWriter.write(timeline);
            case VTT -> VttWriter.write(timeline);
            case CSV -> CsvWriter.write(timeline);
            case FFCONCAT -> ConcatWriter.write(timeline);
        };
    }

    /** What it cannot say of a timeline that is not empty, a sentence each. */
    public List<String> losses(Timeline timeline) {
        return switch (this) {
            case EDL -> EdlWriter.losses(timeline);
            case OTIO -> OtioWriter.losses(timeline);
            case VTT -> VttWriter.LOSSES;
            case CSV -> CsvWriter.LOSSES;
            case FFCONCAT -> ConcatWriter.write(timeline).losses();
        };
    }
}
