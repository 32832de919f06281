package instep.lab;

import java.io.ByteArrayOutputStream;
import java.util.HexFormat;
import java.util.List;

/**
 * A line of the sink's log: what happened at a stand-in for gear.
 *
 * @param nanos monotonic time
 * @param gear its name
 * @param connection counted from 1; 0 for datagrams
 * @param what listen, open, bytes or close
 * @param hex the bytes
 */
record Sunk(long nanos, String gear, int connection, String what, String hex) {
    static Sunk parse(String line) {
        String[] words = line.split(" ", 5);
        return new Sunk(Long.parseLong(words[0]), words[1], Integer.parseInt(words[2]), words[3], words[4]);
    }

    boolean isTo(String name, String happening) {
        return gear.equals(name) && what.equals(happening);
    }

    /** All that a piece of gear was sent, over all its connections. */
    static byte[] bytesTo(String gear, List<Sunk> log) {
        ByteArrayOutputStream all = new ByteArrayOutputStream();
        log.stream()
                .filter(line -> line.isTo(gear, "bytes"))
                .forEach(line -> all.writeBytes(HexFormat.of().parseHex(line.hex())));
        return all.toByteArray();
    }
}
