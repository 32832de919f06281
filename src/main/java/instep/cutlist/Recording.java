package instep.cutlist;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.math.BigDecimal;

/**
 * What a recorded file says of itself; what it does not say is empty or 0.
 *
 * @param file its path
 * @param name its path from the folder that was looked through, with {@code /} between folders
 * @param reel the reel's name in it
 * @param start the timecode of its first frame
 * @param rate its frames a second
 * @param frames how many frames it has
 * @param sounds how many tracks of sound it has
 * @param stamp the time stamp of its first picture, in microseconds; files need not begin at 0
 * @param begins how long after the beginning of the file that picture is shown, in microseconds
 * @param day on which it was recorded, as in a date
 * @param written the day on which the file was last written, which may be that of a copy
 */
public record Recording(
        String file,
        String name,
        String reel,
        String start,
        Rate rate,
        long frames,
        Picture picture,
        int sounds,
        long stamp,
        long begins,
        String day,
        String written) {
    /** The day that is most likely that of the recording. */
    String likelyDay() {
        return day.isEmpty() ? written : day;
    }

    /** The same where it is known better at which label it begins. */
    public Recording from(Timecode label) {
        return new Recording(
                file, name, reel, label.toString(), rate, frames, picture, sounds, stamp, begins, day, written);
    }

    /** Frames a second, as a fraction; {@code 0/1} if there are none. */
    public record Rate(long numerator, long denominator, boolean steady) {
        /** Whether it is that rate. Programs round the fraction when they make one of it, by far less than two rates differ. */
        public boolean is(FrameRate other) {
            double ratio = (double) numerator * other.denominator() / ((double) denominator * other.numerator());
            return Math.abs(ratio - 1) < 0.0002;
        }

        /** For a person, such as {@code 29.97}. */
        @Override
        public String toString() {
            long thousandths = Math.round(1_000.0 * numerator / denominator);
            return new BigDecimal(thousandths)
                    .movePointLeft(3)
                    .stripTrailingZeros()
                    .toPlainString();
        }
    }

    /**
     * What its pictures are like.
     *
     * @param codec how they are encoded
     * @param bits of them in a second
     */
    public record Picture(int width, int height, String codec, long bits) {
        long pixels() {
            return (long) width * height;
        }

        /** For a person. */
        String size() {
            return width + "x" + height;
        }

        boolean isLike(Picture other) {
            return width == other.width && height == other.height && codec.equals(other.codec);
        }
    }
}
