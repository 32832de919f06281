package instep.media;

import com.fasterxml.jackson.jr.ob.JSON;
import instep.cutlist.Recording;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;

/** What ffprobe has said of a file, in its JSON form. */
final class ProbeReport {
    /** Rates that are nearer to each other than this are the same: containers round times. */
    private static final double SAME_RATE = 0.002;
    /** Frames whose lengths differ by more of a frame than this are not alike. */
    private static final double SAME_LENGTH = 0.2;

    private final Fact format;
    private final List<Fact> streams;
    private final List<Fact> packets;

    /** A part of the report. Anything may be missing. */
    private record Fact(Map<?, ?> map) {
        String text(String key) {
            Object value = map.get(key);
            return value == null ? "" : value.toString();
        }

        Fact part(String key) {
            return new Fact(map.get(key) instanceof Map<?, ?> part ? part : Map.of());
        }

        List<Fact> list(String key) {
            List<Fact> facts = new ArrayList<>();
            if (map.get(key) instanceof List<?> list) {
                for (Object item : list) {
                    facts.add(new Fact(item instanceof Map<?, ?> part ? part : Map.of()));
                }
            }
            return facts;
        }

        double number(String key) {
            try {
                return Double.parseDouble(text(key));
            } catch (NumberFormatException e) {
                return 0;
            }
        }

        /** Some containers write all tags in capitals. */
        String tag(String key) {
            return part("tags").map().entrySet().stream()
                    .filter(tag -> key.equalsIgnoreCase(String.valueOf(tag.getKey())) && tag.getValue() != null)
                    .map(tag -> String.valueOf(tag.getValue()))
                    .findFirst()
                    .orElse("");
        }
    }

    private ProbeReport(Fact all) {
        format = all.part("format");
        streams = all.list("streams");
        packets = all.list("packets");
    }

    static ProbeReport of(byte[] json) throws UnreadableException {
        try {
            return new ProbeReport(new Fact(JSON.std.mapFrom(json)));
        } catch (IOException e) {
            throw new UnreadableException("cannot be read: ffprobe's answer is not understood");
        }
    }

    Recording recording(Path file, String name) throws UnreadableException, IOException {
        Fact picture = streams.stream()
                .filter(stream -> stream.text("codec_type").equals("video")
                        && stream.part("disposition").number("attached_pic") == 0)
                .findFirst()
                .orElse(new Fact(Map.of()));
        int sounds = (int) streams.stream()
                .filter(stream -> stream.text("codec_type").equals("audio"))
                .count();
        if (isStill() || (picture.map().isEmpty() && sounds == 0)) {
            throw new UnreadableException("is no recording");
        }
        Recording.Rate rate = rate(picture);
        return new Recording(
                file.toString(),
                name,
                first("reel_name"),
                first("timecode"),
                rate,
                frames(picture, rate),
                new Recording.Picture(
                        (int) picture.number("width"),
                        (int) picture.number("height"),
                        picture.text("codec_name"),
                        bits(picture)),
                sounds,
                micros(picture.number("start_time")),
                micros(picture.number("start_time") - format.number("start_time")),
                said(first("creation_time")).map(ProbeReport::day).orElse(""),
                day(Files.getLastModifiedTime(file).toInstant()));
    }

    /** What its maker says of it. */
    String comment() {
        return first("comment");
    }

    private static long micros(double seconds) {
        return Math.round(seconds * 1_000_000);
    }

    private boolean isStill() {
        String kind = format.text("format_name");
        return kind.equals("image2") || kind.endsWith("_pipe") || kind.equals("tty");
    }

    /** The first that any part of the file says. */
    private String first(String tag) {
        return Stream.concat(streams.stream(), Stream.of(format))
                .map(part -> part.tag(tag))
                .filter(value -> !value.isEmpty())
                .findFirst()
                .orElse("");
    }

    /** The lowest rate at which all times can be told; half of it where it counts fields. */
    private Recording.Rate rate(Fact picture) {
        long[] base = fraction(picture.text("r_frame_rate"));
        long[] mean = fraction(picture.text("avg_frame_rate"));
        double times = mean[0] == 0 || base[0] == 0 ? 1 : (double) base[0] * mean[1] / ((double) base[1] * mean[0]);
        boolean fields = Math.abs(times - 2) < SAME_RATE;
        boolean steady = (fields || Math.abs(times - 1) < SAME_RATE) && isSteady(picture);
        return new Recording.Rate(base[0], fields ? 2 * base[1] : base[1], steady);
    }

    /** The last frame of a file may be of any length. */
    private boolean isSteady(Fact picture) {
        List<Double> lengths = packets.stream()
                .filter(packet -> packet.text("stream_index").equals(picture.text("index")))
                .map(packet -> packet.number("duration_time"))
                .filter(length -> length > 0)
                .toList();
        double least = Double.MAX_VALUE;
        double most = 0;
        for (double length : lengths.subList(0, Math.max(0, lengths.size() - 1))) {
            least = Math.min(least, length);
            most = Math.max(most, length);
        }
        return most == 0 || most - least < SAME_LENGTH * most;
    }

    private static long[] fraction(String text) {
        String[] parts = text.split("/", -1);
        if (parts.length == 2
                && parts[0].matches("[0-9]{1,9}")
                && parts[1].matches("[0-9]{0,8}[1-9][0-9]{0,8}|[0-9]{1,9}")) {
            long denominator = Long.parseLong(parts[1]);
            return denominator == 0 ? new long[] {0, 1} : new long[] {Long.parseLong(parts[0]), denominator};
        }
        return new long[] {0, 1};
    }

    /** As many as the container counts; fewer if it does not show all of them. */
    private long frames(Fact picture, Recording.Rate rate) {
        double seconds = picture.number("duration") > 0 ? picture.number("duration") : format.number("duration");
        long byTime = Math.round(seconds * rate.numerator() / rate.denominator());
        long counted = (long) picture.number("nb_frames");
        return counted > 0 && (byTime == 0 || counted < byTime) ? counted : byTime;
    }

    private long bits(Fact picture) {
        double bits = picture.number("bit_rate");
        return (long) (bits > 0 ? bits : format.number("bit_rate"));
    }

    /** The time that a recorder has written down, if it is one. */
    private static Optional<Instant> said(String time) {
        try {
            return time.isEmpty() ? Optional.empty() : Optional.of(Instant.parse(time));
        } catch (DateTimeException e) {
            return Optional.empty();
        }
    }

    private static String day(Instant instant) {
        return instant.atZone(ZoneId.systemDefault()).toLocalDate().toString();
    }
}
