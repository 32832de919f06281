package instep.daemon;

import instep.clock.Chase;
import instep.clock.ReportedTimecode;
import instep.config.ReportedTimecodeSettings;
import instep.config.Settings;
import instep.gear.GearSettings;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.function.Supplier;

/** Where the timecode that a gear reports comes in: from the gear desk to the switchboard. Loop thread only. */
final class GearPort implements TimecodePort, GearTimecode.Listener {
    private final String gear;
    private final Supplier<Switchboard> switchboard;
    private final ReportedTimecode reports;
    private final ChaseTimer timer;
    private int number;

    GearPort(Settings settings, ReportedTimecodeSettings from, Loop loop, Supplier<Switchboard> switchboard) {
        this.switchboard = switchboard;
        gear = from.gear();
        number = number(settings);
        ChaseReport report = new ChaseReport("timecode of " + gear, switchboard);
        FrameRate rate = settings.timecode().rate();
        reports = new ReportedTimecode(new Chase(rate, from.freewheelNanos(), System.nanoTime(), report));
        timer = new ChaseTimer(loop, reports::nextDeadline, reports::advanceTo);
    }

    private int number(Settings settings) {
        return settings.gear().stream().map(GearSettings::name).toList().indexOf(gear);
    }

    @Override
    public void start() {
        switchboard.get().gear().timecode().tell(number, this);
        timer.arm();
    }

    /** The gear may have another number from now on. */
    @Override
    public void goOn(Settings next) {
        number = number(next);
        switchboard.get().gear().timecode().tell(number, this);
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
