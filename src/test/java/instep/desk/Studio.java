package instep.desk;

import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.OptionalLong;
import java.util.function.Consumer;

/** A desk where time does not pass by itself, for tests of its page: takes what it is given as what goes on. */
final class Studio implements Desk {
    static final long SECOND = 1_000_000_000L;
    static final DeskSettings OPEN =
            new DeskSettings(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), List.of("desk.example"), null);

    private volatile Snapshot latest = snapshot("wheel", List.of());
    private volatile String trouble = "";
    private volatile OptionalLong waiting = OptionalLong.empty();
    private volatile long silence;
    private volatile long now = 2 * SECOND;

    static Snapshot snapshot(String angle, List<Snapshot.Fault> faults) {
        return new Snapshot(
                new Snapshot.OnAir(angle, "says mixer", ""),
                new Snapshot.Take(3, true, 0, 0),
                new TimecodeLine(FrameRate.R25, 0, 900_000),
                "the time of day",
                List.of(new Snapshot.Part("recorder", "rolls", true, "")),
                List.of(new Snapshot.Pedal("floor", "there", true, List.of(new Snapshot.Contact("left", true)))),
                List.of(new Snapshot.Part("mixer", "up", true, "sent in 0.4 ms")),
                List.of(new Snapshot.Marked("10:00:01:00", "retake")),
                List.of(new Snapshot.Line(1, "10:00:00:00  take 3      CUT     wheel")),
                faults,
                Tallies.NONE);
    }

    static Snapshot.Fault fault(long number, String what, boolean stands) {
        return new Snapshot.Fault(number, what, "look at it", "10:00:00:00", stands, 1);
    }

    /** Settings with that token. */
    static DeskSettings closed(String token) {
        return new DeskSettings(OPEN.address(), OPEN.names(), () -> token);
    }

    /** The page of a desk, of which only the faults are heard. */
    static DeskPage page(DeskSettings settings, Desk desk, Consumer<String> fault) {
        return DeskPage.open(settings, desk, new DeskPage.Told(fault, note -> {}));
    }

    /** The same for visits at another pace. */
    static DeskPage page(DeskSettings settings, Desk desk, Consumer<String> fault, Visit.Pace pace) {
        return DeskPage.open(settings, desk, new DeskPage.Told(fault, note -> {}), pace);
    }

    void shows(Snapshot snapshot) {
        latest = snapshot;
    }

    void journalIs(String words) {
        trouble = words;
    }

    /** The journal's thread has not yet taken what happened at that instant. */
    void waitsSince(long instant) {
        waiting = OptionalLong.of(instant);
    }

    void isAt(long instant) {
        now = instant;
    }

    void standsStillFor(long nanos) {
        silence = nanos;
    }

    @Override
    public Snapshot latest() {
        return latest;
    }

    @Override
    public long now() {
        return now;
    }

    @Override
    public double speed() {
        return 1;
    }

    @Override
    public String version() {
        return "0.1.0";
    }

    @Override
    public String journalTrouble() {
        return trouble;
    }

    @Override
    public OptionalLong oldestWaiting() {
        return waiting;
    }

    @Override
    public long loopSilence() {
        return silence;
    }

    static byte[] bytes(String text) {
        return text.getBytes(StandardCharsets.ISO_8859_1);
    }
}
