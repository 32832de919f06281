package instep.daemon;

import instep.clock.Chase;
import instep.clock.ReportedTimecode;
import instep.config.ReportedTimecodeSettings;
import instep.time.FrameRate;
import instep.time.Timecode;

/** Where the timecode that a gear reports comes in: from the gear desk to the switchboard. Loop thread only. */
final class GearPort implements TimecodePort, GearTimecode.Listener {
    private final GearTimecode from;
    private final int gear;
    private final ReportedTimecode reports;
    private final ChaseTimer timer;

    /** Follows the gear of that number. */
    GearPort(FrameRate rate, ReportedTimecodeSettings settings, int gear, Loop loop, Switchboard switchboard) {
        this.gear = gear;
        from = switchboard.gear().timecode();
        ChaseReport report = new ChaseReport("timecode of " + settings.gear(), switchboard);
        reports = new ReportedTimecode(new Chase(rate, settings.freewheelNanos(), System.nanoTime(), report));
        timer = new ChaseTimer(loop, reports::nextDeadline, reports::advanceTo);
    }

    @Override
    public void start() {
        from.tell(gear, this);
        timer.arm();
    }

    @Override
    public void reported(Timecode label, long asked, long heard) {
        reports.reported(label, asked, heard);
        timer.arm();
    }

    @Override
    public void close() {
        timer.stop();
    }
}
