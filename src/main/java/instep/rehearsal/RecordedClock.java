package instep.rehearsal;

import instep.daemon.WallTime;
import java.time.ZoneId;
import java.util.NavigableMap;

/** The clock of a recorded run: it is looked at when a take begins, as the daemon did, and held from there on. Not thread-safe. */
final class RecordedClock implements WallTime {
    private final ZoneId zone;
    private final NavigableMap<Long, Long> offsets;
    private long since = Long.MIN_VALUE;
    private long before;
    private long offset;

    /** {@code offsets}: from instants on, what is to be added to the monotonic time; it has one for {@link Long#MIN_VALUE}. */
    RecordedClock(ZoneId zone, NavigableMap<Long, Long> offsets) {
        this.zone = zone;
        this.offsets = offsets;
        before = offsets.firstEntry().getValue();
        offset = before;
    }

    @Override
    public long at(long nanos) {
        return nanos + (nanos >= since ? offset : before);
    }

    @Override
    public ZoneId zone() {
        return zone;
    }

    @Override
    public long setSince(long nanos) {
        long next = offsets.floorEntry(nanos).getValue();
        long set = next - offset;
        if (set != 0) {
            since = nanos;
            before = offset;
            offset = next;
        }
        return set;
    }
}
