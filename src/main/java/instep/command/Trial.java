package instep.command;

import instep.config.Settings;
import instep.daemon.Loop;
import instep.gear.GearListener;
import instep.gear.GearSettings;
import instep.gear.Listening;
import instep.gear.Message;
import instep.gear.Rack;
import instep.machine.Values;
import java.io.PrintStream;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** Gear alone, without machine, pedals and journal: says what becomes of its links and of one message. */
public final class Trial implements GearListener {
    private static final int BYTES_A_LINE = 16;
    private static final HexFormat HEX = HexFormat.ofDelimiter(" ");
    private static final double NANOS_PER_MILLI = 1e6;

    private final List<GearSettings> gear;
    private final PrintStream out;
    private final int width;
    private final CompletableFuture<Boolean> isUp = new CompletableFuture<>();
    private long began = System.nanoTime();
    private long heard = began;
    private boolean failed;

    private Trial(List<GearSettings> gear, PrintStream out) {
        this.gear = gear;
        this.out = out;
        width = gear.stream().mapToInt(one -> one.name().length()).max().orElse(0);
    }

    /**
     * Tells one gear its steps of a message, and shows every byte; false if it could not be told, or did not answer as it should.
     *
     * @param quietNanos how long nothing has to have happened before it ends
     */
    public static boolean message(Settings settings, int number, Message message, long quietNanos, PrintStream out) {
        List<Message.Step> own = message.steps().stream()
                .filter(step -> step.gear() == number)
                .map(step -> new Message.Step(0, step.payload(), step.waitNanos(), step.expect(), step.retries()))
                .toList();
        Trial trial = new Trial(List.of(settings.gear().get(number)), out);
        List<Listening> manners =
                List.of(Listening.PLAIN.with(settings.listening().get(number).secrets()));
        run(loop -> Rack.tapped(loop.eventLoop(), trial.gear, manners, trial, trial::bytes), (rack, loop) -> {
            boolean reached = trial.isUp
                    .completeOnTimeout(false, quietNanos * 3, TimeUnit.NANOSECONDS)
                    .join();
            if (!reached) {
                trial.failed = true;
                return;
            }
            Message one = new Message(message.name(), own);
            Values values = values(settings);
            onLoop(loop, () -> {
                trial.began = System.nanoTime();
                trial.heard = trial.began;
                rack.send(one, values, 1);
            });
            trial.waitForQuiet(rack, loop, quietNanos);
        });
        return !trial.failed;
    }

    /** What a message may hold, with something in its place. */
    static Values values(Settings settings) {
        return name -> switch (name) {
            case "take", "chapter" -> 1L;
            case "timecode" -> settings.timecode().start().toString();
            case "angle" ->
                settings.angles().isEmpty() ? "" : settings.angles().get(0).name();
            default -> {
                boolean isGear =
                        settings.gear().stream().anyMatch(one -> one.name().equals(name));
                yield isGear ? "up" : initial(settings, name);
            }
        };
    }

    private static @Nullable Object initial(Settings settings, String name) {
        int variable = settings.chart().variableNumber(name);
        return variable < 0 ? null : settings.chart().variable(variable).initial();
    }

    /** What is done while the gear is connected; on the caller's thread. */
    interface Work {
        void with(Rack rack, Loop loop);
    }

    /** Connects that gear, does something with it and lets it go. */
    static void run(Function<Loop, Rack> gear, Work work) {
        Loop loop = Loop.open(1);
        Rack rack = gear.apply(loop);
        try {
            onLoop(loop, rack::start);
            work.with(rack, loop);
        } finally {
            onLoop(loop, rack::close);
            loop.close();
        }
    }

    static void onLoop(Loop loop, Runnable task) {
        CompletableFuture.runAsync(task, loop.eventLoop()).join();
    }

    static void pause(Loop loop, long nanos) {
        CompletableFuture<Void> over = new CompletableFuture<>();
        loop.at(loop.now() + nanos, () -> over.complete(null));
        over.join();
    }

    private void waitForQuiet(Rack rack, Loop loop, long quietNanos) {
        boolean quiet = false;
        while (!quiet) {
            pause(loop, quietNanos / 10);
            quiet = CompletableFuture.supplyAsync(
                            () -> rack.isQuiet() && System.nanoTime() - heard >= quietNanos, loop.eventLoop())
                    .join();
        }
    }

    private String row(int number, String text) {
        return String.format("  %-" + width + "s  %s", gear.get(number).name(), text);
    }

    private void tell(int number, long nanos, String text) {
        heard = System.nanoTime();
        out.println(row(number, String.format(Locale.ROOT, "%9.1f ms  %s", (nanos - began) / NANOS_PER_MILLI, text)));
    }

    /** Sixteen bytes a line, in hex and as text. */
    private void bytes(boolean toGear, byte[] bytes) {
        heard = System.nanoTime();
        for (int from = 0; from < bytes.length; from += BYTES_A_LINE) {
            int to = Math.min(bytes.length, from + BYTES_A_LINE);
            StringBuilder text = new StringBuilder();
            for (int i = from; i < to; i++) {
                text.append(bytes[i] >= ' ' && bytes[i] < 0x7f ? (char) bytes[i] : '.');
            }
            out.printf("%s %-47s  %s%n", toGear ? ">" : "<", HEX.formatHex(bytes, from, to), text);
        }
    }

    @Override
    public void link(int number, LinkState state, String reason) {
        tell(number, System.nanoTime(), state.name().toLowerCase(Locale.ROOT) + ": " + reason);
        if (state == LinkState.UP) {
            isUp.complete(true);
        }
    }

    @Override
    public void sent(int number, long ticket, String text, long nanos) {
        tell(number, nanos, "sent: " + text);
    }

    @Override
    public void missed(int number, long ticket, String text, String reason) {
        failed = true;
        tell(number, System.nanoTime(), "missed: " + text + ": " + reason);
    }

    @Override
    public void reply(int number, long ticket, String text, long nanos) {
        tell(number, nanos, "reply: " + text);
    }

    @Override
    public void refused(int number, long ticket, boolean silent, @Nullable String reason) {
        failed = true;
        tell(number, System.nanoTime(), (silent ? "silent: " : "refused: ") + (reason == null ? "" : reason));
    }

    /** Names, for a sentence. */
    static String listed(List<String> names) {
        return names.isEmpty() ? "none" : names.stream().collect(Collectors.joining(", "));
    }
}
