package instep.command;

import instep.after.RecordedTake;
import instep.config.AngleSettings;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.CutlistSettings;
import instep.config.Settings;
import instep.cutlist.Footage;
import instep.cutlist.Pauses;
import instep.cutlist.Refined;
import instep.cutlist.Shot;
import instep.cutlist.Slate;
import instep.cutlist.Source;
import instep.cutlist.Timeline;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.Supplier;

/** What holds for a take: the configuration that was given, else that of the journal; and what the command line asks for over it. */
final class TakeSettings {
    /** A take, and what holds for it. */
    record Held(RecordedTake recorded, CutlistSettings cutlist, List<AngleSettings> angles, Supplier<Pauses> pauses) {
        String name() {
            return "take " + recorded.take().number();
        }

        private String title() {
            return "Take " + recorded.take().number() + " of " + recorded.day();
        }

        Refined refined() {
            return Refined.of(recorded.take(), cutlist.refinements(), pauses.get());
        }

        /** The programme over files whose names are in the configuration. */
        Timeline timeline(Refined refined) {
            return Timeline.of(title(), refined, cutlist.layout(), this::source);
        }

        /** The programme over files that were matched. */
        Timeline timeline(Refined refined, Function<String, Footage> footage) {
            return Timeline.over(title(), refined, cutlist.layout(), footage);
        }

        private Source source(String angle) {
            return angles.stream()
                    .filter(known -> known.name().equals(angle))
                    .findFirst()
                    .map(known ->
                            cutlist.source(angle, known.reel(), recorded.take().number(), recorded.day()))
                    .orElse(Source.unknown(angle));
        }

        /** The take as its files are looked for; angles that the configuration does not know are looked for by their names. */
        Slate slate() {
            List<Slate.Angle> known = angles.stream()
                    .map(angle -> new Slate.Angle(angle.name(), angle.reel(), angle.files(), angle.offset()))
                    .toList();
            List<Slate.Angle> all = new ArrayList<>(known);
            recorded.take().shots().stream()
                    .map(Shot::angle)
                    .distinct()
                    .filter(angle -> !angle.isEmpty()
                            && known.stream().noneMatch(one -> one.name().equals(angle)))
                    .forEach(angle -> all.add(new Slate.Angle(angle, "", "", 0)));
            return new Slate(recorded.take(), recorded.day(), recorded.rate(), all);
        }
    }

    private final CutlistWishes wishes;
    private final Optional<Settings> given;
    private final Consumer<String> failed;
    private final PauseSearch pauses;
    /** The configuration that was read last, by its text. */
    private String text = "";

    private Optional<Settings> recorded = Optional.empty();

    /**
     * For a journal.
     *
     * @param given a configuration in place of those in the journal
     * @param failed is told what could not be read
     */
    TakeSettings(CutlistWishes wishes, Optional<Settings> given, Consumer<String> failed) {
        this.wishes = wishes;
        this.given = given;
        this.failed = failed;
        this.pauses = new PauseSearch(failed);
    }

    /** What holds for a take; empty if it cannot be told, and then why has been. */
    Optional<Held> of(RecordedTake take) {
        Optional<Settings> settings = settings(take);
        CutlistSettings plain = settings.map(Settings::cutlist).orElseGet(() -> CutlistSettings.none(take.rate()));
        if (plain.layout().rate() != take.rate()) {
            failed.accept("take " + take.take().number() + " was recorded at "
                    + take.rate().label() + ", but the configuration says "
                    + plain.layout().rate().label() + "; it was left out");
            return Optional.empty();
        }
        List<AngleSettings> angles = settings.map(Settings::angles).orElse(List.of());
        CutlistSettings asked = wishes.over(plain, take.rate());
        return Optional.of(new Held(take, asked, angles, () -> pauses.of(take, asked)));
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
                failed.accept(
                        "the configuration in the journal cannot be read, so there are no reels and no refinements of it; give one with"
                                + " --config: " + e.faults().get(0));
            }
        }
        return recorded;
    }
}
