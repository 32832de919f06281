package instep.command;

import instep.config.ConfigException;
import instep.config.MediaFile;
import instep.cutlist.MediaList;
import instep.daemon.Exit;
import instep.media.Ffprobe;
import instep.media.MissingProgramException;
import instep.media.Programs;
import instep.sound.Aligner;
import instep.sound.Alignment;
import instep.sound.FileSound;
import instep.sound.Overheard;
import instep.sound.TwoPop;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code sync}: lays recordings side by side by their sound. */
@Command(
        name = "sync",
        description = {
            "Says where recordings lie beside the first one, by the sound that they have in common: how many seconds after its beginning each begins, how much"
                    + " quicker its clock runs (in millionths), how sure that is, and where two-pops are. It reads the files through ffmpeg and changes none of them."
                    + " With --write it writes down which of a journal's takes they show."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep sync wide.mov wheel.mov hands.mov --rate 25",
            "  instep sync wide.mov wheel.mov --journal /var/lib/instep --take 3 --write media.yaml",
            Exit.CODES
        })
public final class SyncCommand implements Callable<Integer> {
    private static final String LEAST = "30";

    @Parameters(
            paramLabel = "FILE",
            arity = "2..*",
            description = "The recordings; the others are laid beside the first one.")
    private List<Path> files = List.of();

    @Option(names = "--rate", paramLabel = "RATE", description = "Tells offsets in frames at that rate, too.")
    private @Nullable String rate;

    @Option(
            names = "--least",
            paramLabel = "PERCENT",
            defaultValue = LEAST,
            description = "Refuses an offset that is less sure than that (default ${DEFAULT-VALUE}).")
    private int least = Integer.parseInt(LEAST);

    @Option(
            names = "--journal",
            paramLabel = "JOURNAL",
            description =
                    "For --write: the folder of a journal, or one file of it (else the folder that `run` would take).")
    private @Nullable Path journal;

    @Mixin
    private TakeChoice takes = new TakeChoice();

    @Option(
            names = "--at",
            paramLabel = "LABEL",
            description =
                    "For --write: the journal's timecode at the first frame of the first recording, if its own does not tell it.")
    private @Nullable String at;

    @Option(
            names = "--media",
            paramLabel = "FILE",
            description = "For --write: a list of files that are placed already; the others are added to it.")
    private @Nullable Path media;

    @Mixin
    private MediaOutput output = new MediaOutput();

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() throws IOException {
        Optional<FrameRate> frames = frames();
        takes.check(spec.commandLine());
        if (!output.isFree(spec.commandLine())) {
            return Exit.WRONG;
        }
        if (!output.isAsked() && (journal != null || at != null || media != null || takes.choose())) {
            throw new ParameterException(
                    spec.commandLine(),
                    "--journal, --take, --day, --at and --media are about a list: name it with --write");
        }
        if (!output.isAsked()) {
            return lay(frames, (file, found) -> {});
        }
        try {
            MediaList listed = media == null ? new MediaList(List.of()) : MediaFile.read(media);
            SyncList list = new SyncList(takes, takes.given(), new Ffprobe(Programs.INSTALLED));
            list.read(StateFolder.of(journal, null));
            list.first(files.get(0), at, listed);
            int code = lay(frames, list::add);
            output.write(list.over(listed), List.of());
            return Math.max(code, list.code());
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (SyncList.WrongPlaceException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.WRONG;
        } catch (MissingProgramException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.FAILED;
        }
    }

    /** Who is told where a recording lies. */
    private interface Neighbour {
        void lies(Path file, Alignment found) throws IOException;
    }

    private int lay(Optional<FrameRate> frames, Neighbour neighbour) throws IOException {
        TwoPop.Ear ear = new TwoPop.Ear();
        Path first = files.get(0);
        Aligner aligner = new Aligner(new Overheard(new FileSound(first), ear));
        List<TwoPop> pops = ear.found();
        System.out.println(first + ": the others are laid beside it" + said(pops));
        int code = Exit.FINE;
        for (Path file : files.subList(1, files.size())) {
            try {
                code = Math.max(code, place(file, aligner, pops, frames, neighbour));
            } catch (IOException e) {
                System.err.println("instep: " + e.getMessage());
                code = Exit.FAILED;
            }
        }
        return code;
    }

    private Optional<FrameRate> frames() {
        String asked = rate;
        if (least < 1 || least > 100) {
            throw new ParameterException(spec.commandLine(), "--least " + least + ": expected 1 to 100");
        }
        if (asked == null) {
            return Optional.empty();
        }
        Optional<FrameRate> named = FrameRate.named(asked);
        if (named.isEmpty()) {
            throw new ParameterException(
                    spec.commandLine(),
                    "--rate " + asked + ": expected one of " + String.join(", ", FrameRate.labels()));
        }
        return named;
    }

    private int place(Path file, Aligner aligner, List<TwoPop> pops, Optional<FrameRate> frames, Neighbour neighbour)
            throws IOException {
        TwoPop.Ear ear = new TwoPop.Ear();
        Alignment found = aligner.place(new Overheard(new FileSound(file), ear));
        List<TwoPop> own = ear.found();
        boolean pair = pops.size() == 1 && own.size() == 1;
        double byPop = pair ? pops.get(0).at() - own.get(0).at() : 0;
        if (100 * found.confidence() >= least) {
            String check = pair ? String.format(Locale.ROOT, ", the two-pops say %+.6f s", byPop) : said(own);
            String drift = found.drift().isPresent()
                    ? String.format(
                            Locale.ROOT,
                            ", its clock drifts by %+.1f ppm",
                            found.drift().getAsDouble())
                    : ", too short together to tell a drift";
            System.out.println(file + ": begins " + offset(found.offset(), frames) + drift + ", sure to "
                    + percent(found) + " %" + check);
            neighbour.lies(file, found);
            return Exit.FINE;
        }
        if (pair) {
            System.out.println(file + ": begins " + offset(byPop, frames)
                    + ", by the two-pops alone; what else is heard makes sure to " + percent(found) + " % only");
            neighbour.lies(file, new Alignment(byPop, OptionalDouble.empty(), found.confidence()));
            return Exit.FINE;
        }
        System.out.println(file + ": refused; its best place is sure to " + percent(found) + " %, and " + least
                + " % are asked for" + said(own));
        return Exit.FAILED;
    }

    private static long percent(Alignment found) {
        return (long) Math.floor(100 * found.confidence());
    }

    private static String offset(double seconds, Optional<FrameRate> frames) {
        String inFrames = frames.map(rate ->
                        String.format(Locale.ROOT, " (%+.2f frames)", seconds * rate.numerator() / rate.denominator()))
                .orElse("");
        return String.format(Locale.ROOT, "at %+.6f s%s", seconds, inFrames);
    }

    private static String said(List<TwoPop> pops) {
        StringBuilder said = new StringBuilder();
        for (TwoPop pop : pops) {
            said.append(String.format(Locale.ROOT, ", two-pop at %.4f s (%.1f dB)", pop.at(), pop.level()));
        }
        return said.toString();
    }
}
