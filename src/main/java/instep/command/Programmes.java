package instep.command;

import instep.after.RecordedTake;
import instep.config.AngleSettings;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.CutlistSettings;
import instep.config.Settings;
import instep.cutlist.Refined;
import instep.cutlist.Source;
import instep.cutlist.Timeline;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;

/** What recorded takes become by the wishes of the command line over the configuration that was in force. */
final class Programmes {
    /** What became of a take. */
    record Programme(Refined refined, Timeline timeline, List<String> angles) {}

    private final CutlistWishes wishes;
    private final Optional<Settings> given;
    private final Complaints complaints;
    private final PauseSearch pauses;
    /** The configuration that was read last, by its text. */
    private String text = "";

    private Optional<Settings> recorded = Optional.empty();

    /** With a configuration in place of those in the journal, if one is given. */
    Programmes(CutlistWishes wishes, Optional<Settings> given, Complaints complaints) {
        this.wishes = wishes;
        this.given = given;
        this.complaints = complaints;
        this.pauses = new PauseSearch(complaints);
    }

    /** Empty if the take does not fit the configuration; then that was told. */
    Optional<Programme> of(RecordedTake take) {
        Optional<Settings> settings = settings(take);
        CutlistSettings plain = settings.map(Settings::cutlist).orElseGet(() -> CutlistSettings.none(take.rate()));
        if (plain.layout().rate() != take.rate()) {
            complaints.fail("take " + take.take().number() + " was recorded at "
                    + take.rate().label() + ", but the configuration says "
                    + plain.layout().rate().label() + "; it was left out");
            return Optional.empty();
        }
        CutlistSettings asked = wishes.over(plain, take.rate());
        Refined refined = Refined.of(take.take(), asked.refinements(), pauses.of(take, asked));
        Function<String, Source> sources = sources(take, asked, settings);
        String title = "Take " + take.take().number() + " of " + take.day();
        Timeline timeline = Timeline.of(title, refined, asked.layout(), sources);
        List<String> angles = settings.map(Settings::angles).orElse(List.of()).stream()
                .map(AngleSettings::name)
                .toList();
        return Optional.of(new Programme(refined, timeline, angles));
    }

    private static Function<String, Source> sources(
            RecordedTake take, CutlistSettings asked, Optional<Settings> settings) {
        List<AngleSettings> angles = settings.map(Settings::angles).orElse(List.of());
        return angle -> angles.stream()
                .filter(known -> known.name().equals(angle))
                .findFirst()
                .map(known -> asked.source(angle, known.reel(), take.take().number(), take.day()))
                .orElse(Source.unknown(angle));
    }

    /** A configuration that this program cannot read is no reason not to give the cuts. */
    private Optional<Settings> settings(RecordedTake take) {
        if (given.isPresent()) {
            return given;
        }
        if (!take.config().equals(text)) {
            text = take.config();
            recorded = Optional.empty();
            try {
                recorded = Optional.of(ConfigReader.parse(take.file(), text));
            } catch (ConfigException e) {
                complaints.fail(
                        "the configuration in the journal cannot be read, so there are no reels and no refinements of it; give one with"
                                + " --config: " + e.faults().get(0));
            }
        }
        return recorded;
    }
}
