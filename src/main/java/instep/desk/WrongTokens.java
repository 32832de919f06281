package instep.desk;

import java.net.InetAddress;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.stream.Collectors;

/**
 * The wrong tokens that were tried: a few are slips of somebody's hand, and of more than those somebody is told twice, when it becomes clear and when it has been over for a while, however many there
 * were. Desk thread only.
 */
final class WrongTokens {
    /** So many slips are not worth a word. */
    static final int SLIPS = 10;
    /** What comes later belongs together no more. */
    static final long QUIET_NANOS = TimeUnit.MINUTES.toNanos(10);

    private static final int MOST_ADDRESSES = 32;
    private static final int MOST_NAMED = 3;

    private final Consumer<String> tell;
    private final Map<InetAddress, Long> from = new LinkedHashMap<>();
    private long count;
    private long total;
    private long first;
    private long last;

    WrongTokens(Consumer<String> tell) {
        this.tell = tell;
    }

    /** How many there were since the start. */
    long total() {
        return total;
    }

    /** One more. */
    void wrong(InetAddress address, long nanos) {
        look(nanos);
        first = count == 0 ? nanos : first;
        last = nanos;
        count++;
        total++;
        if (from.containsKey(address) || from.size() < MOST_ADDRESSES) {
            from.merge(address, 1L, Long::sum);
        }
        if (count == SLIPS) {
            tell.accept(words() + ". Somebody guesses, or has an old one: where that is nobody of yours, take the page"
                    + " off that network or give it another token");
        }
    }

    /** Tells of them if they are over. */
    void look(long nanos) {
        if (count > 0 && nanos - last >= QUIET_NANOS) {
            if (count > SLIPS) {
                tell.accept(words() + ", and none for " + TimeUnit.NANOSECONDS.toMinutes(QUIET_NANOS) + " minutes now");
            }
            from.clear();
            count = 0;
        }
    }

    private String words() {
        long seconds = TimeUnit.NANOSECONDS.toSeconds(last - first);
        return count + " wrong tokens were tried at the desk page in "
                + (seconds < 120 ? seconds + " s" : seconds / 60 + " minutes") + ": " + addresses();
    }

    private String addresses() {
        List<Map.Entry<InetAddress, Long>> most = from.entrySet().stream()
                .sorted(Map.Entry.<InetAddress, Long>comparingByValue(Comparator.reverseOrder()))
                .limit(MOST_NAMED)
                .toList();
        long named = most.stream().mapToLong(Map.Entry::getValue).sum();
        return most.stream()
                        .map(one -> one.getValue() + " from " + one.getKey().getHostAddress())
                        .collect(Collectors.joining(", "))
                + (count > named ? ", " + (count - named) + " from others" : "");
    }
}
