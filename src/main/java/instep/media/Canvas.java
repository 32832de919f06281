package instep.media;

import instep.time.FrameRate;

/**
 * What all pictures of a rough cut are made alike to.
 *
 * @param width in pixels, even
 * @param height in pixels, even
 */
public record Canvas(int width, int height, FrameRate rate) {
    static final int SAMPLE_RATE = 48_000;
    /** Two channels of 16 bits. */
    static final int SAMPLE_BYTES = 4;

    public Canvas {
        if (width < 2 || height < 2 || width % 2 != 0 || height % 2 != 0) {
            throw new IllegalArgumentException(width + "x" + height + " is not even");
        }
    }

    /** Bytes of a picture as it goes from program to program: planes of 8 bits, colours at half the size. */
    int pictureBytes() {
        return width * height * 3 / 2;
    }

    /** Samples in so many frames, to the nearest. */
    long samples(long frames) {
        return (2 * frames * SAMPLE_RATE * rate.denominator() + rate.numerator()) / (2 * rate.numerator());
    }

    String fraction() {
        return rate.numerator() + "/" + rate.denominator();
    }

    /** Fits pictures of any shape in, in the colours of high definition. */
    String filter() {
        return "scale=trunc(iw*sar/2)*2:ih,scale=" + width + ":" + height
                + ":force_original_aspect_ratio=decrease:force_divisible_by=2:out_color_matrix=bt709:out_range=tv,pad="
                + width
                + ":" + height + ":(ow-iw)/2:(oh-ih)/2,setsar=1,format=yuv420p";
    }
}
