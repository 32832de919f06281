package instep.gear;

import instep.machine.Values;
import io.netty.buffer.ByteBufUtil;
import java.io.IOException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ScheduledFuture;
import java.util.concurrent.ThreadLocalRandom;
import java.util.function.LongPredicate;
import org.jspecify.annotations.Nullable;

/**
 * An audio output of this machine, which plays tones that all recorders hear: what their files are laid side by side by where they have no timecode. Sound is handed
 * over by a thread of its own, since an output blocks; what it says comes back to the loop. Loop thread only, but for what plays.
 */
final class SoundLink implements Link {
    private final GearSettings.Sound settings;
    private final SoundOutput output;
    private final Net net;
    private final Report report;
    private final Wire.Cache wires = new Wire.Cache(new SoundEncoder());
    private final Waiting<Outgoing.Parcel> waiting;
    private final Backoff backoff =
            new Backoff(() -> ThreadLocalRandom.current().nextDouble());
    private final ExecutorService player;
    private SoundOutput.@Nullable Line line;
    private Outgoing.@Nullable Parcel playing;
    private @Nullable ScheduledFuture<?> pause;
    private boolean closed;

    /** Nothing happens before {@link #start}. */
    SoundLink(GearSettings.Sound settings, SoundOutput output, Net net, Report report) {
        this.settings = settings;
        this.output = output;
        this.net = net;
        this.report = report;
        waiting = new Waiting<>(
                net, report, () -> line == null ? report.lostWhy() : "the sound before it is still playing");
        player = Executors.newSingleThreadExecutor(task -> {
            Thread thread = new Thread(task, "sound");
            thread.setDaemon(true);
            return thread;
        });
    }

    @Override
    public void start() {
        pause = null;
        player.execute(() -> {
            try {
                SoundOutput.Line fresh = output.open(settings.output());
                tell(() -> opened(fresh));
            } catch (UnfitException e) {
                tell(() -> lose(e.why()));
            }
        });
    }

    private void tell(Runnable news) {
        try {
            net.loop().execute(news);
        } catch (RejectedExecutionException e) {
            // The program is ending, and with it the line.
        }
    }

    private void opened(SoundOutput.Line fresh) {
        if (closed) {
            fresh.close();
            return;
        }
        line = fresh;
        backoff.reset();
        report.up("the audio output " + settings.output() + " is open (nothing tells whether a loudspeaker is on)");
        drain();
    }

    @Override
    public void send(Payload payload, Values values, long ticket) {
        try {
            Wire wire = wires.wire(payload, values);
            waiting.add(new Outgoing.Parcel(wire, ticket, net.nanos() + settings.staleAfterNanos()));
            drain();
        } catch (IllegalArgumentException e) {
            report.missed(ticket, settings.name(), String.valueOf(e.getMessage()));
        }
    }

    private void drain() {
        SoundOutput.Line to = line;
        if (to == null || playing != null) {
            return;
        }
        Outgoing.Parcel next = waiting.poll();
        if (next != null) {
            playing = next;
            byte[] samples = ByteBufUtil.getBytes(next.wire().bytes());
            player.execute(() -> play(to, next, samples));
        }
    }

    private void play(SoundOutput.Line to, Outgoing.Parcel parcel, byte[] samples) {
        try {
            SoundOutput.Played played = to.play(samples);
            tell(() -> played(parcel, played));
        } catch (IOException e) {
            to.close();
            tell(() -> {
                playing = null;
                parcel.wire().release();
                report.missed(parcel.ticket(), parcel.wire().text(), String.valueOf(e.getMessage()));
                line = null;
                lose("the audio output " + settings.output() + ": " + e.getMessage());
            });
        }
    }

    private void played(Outgoing.Parcel parcel, SoundOutput.Played played) {
        playing = null;
        parcel.wire().release();
        report.sent(parcel, played.nanos());
        report.reply(
                parcel.ticket(),
                "its first sample was number " + played.firstSample() + " at " + Tone.HERTZ + " a second");
        drain();
    }

    private void lose(String why) {
        if (!closed) {
            report.lost(why);
            pause = net.after(backoff.nextNanos(), this::start);
        }
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        waiting.withdraw(tickets, why);
    }

    @Override
    public void reset(String why) {
        // Nothing answers here whose silence could be a reason.
    }

    @Override
    public boolean isUp() {
        return report.isUp();
    }

    @Override
    public boolean isQuiet() {
        return playing == null && waiting.isEmpty();
    }

    @Override
    public void close() {
        closed = true;
        if (pause != null) {
            pause.cancel(false);
        }
        waiting.clear("Instep has ended");
        report.end();
        SoundOutput.Line open = line;
        line = null;
        if (open != null) {
            player.execute(open::close);
        }
        player.shutdown();
        wires.clear();
    }
}
