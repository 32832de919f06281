package instep.report;

import java.util.List;

/**
 * How much of a take the recorded files of one sort show of an angle.
 *
 * @param sort which files
 * @param permille of the take's frames
 * @param gaps what no file shows
 */
public record Cover(String angle, String sort, int files, int permille, List<Gap> gaps) {
    /**
     * Frames that no file shows.
     *
     * @param out the frame after the last
     * @param used how many of them the programme needs
     */
    public record Gap(long in, long out, long used) {}

    public Cover {
        gaps = List.copyOf(gaps);
    }
}
