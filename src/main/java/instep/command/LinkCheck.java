package instep.command;

import instep.config.Settings;
import instep.daemon.Loop;
import instep.gear.GearListener;
import instep.gear.GearSettings;
import instep.gear.Listening;
import instep.gear.Match;
import instep.gear.Message;
import instep.gear.Payload;
import instep.gear.Rack;
import instep.gear.Reply;
import instep.gear.UriTemplate;
import java.io.PrintStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Whether all gear can be reached, and how long an answer is under way where it has one to something that does nothing. On the loop's thread, but where it says otherwise. */
public final class LinkCheck implements GearListener {
    private static final double NANOS_PER_MILLI = 1e6;
    private static final long NEVER = Long.MIN_VALUE;

    /** Ping frames are answered by pong frames, which are told as this word; whatever else is said is no answer. */
    private static final Match PONG = new Match.Line(Pattern.compile("^pong$"));

    /** What is asked, and what has to come back; null: anything. */
    private record Question(Payload payload, @Nullable Match expect) {}

    private final List<GearSettings> gear;
    private final List<@Nullable Question> questions = new ArrayList<>();
    private final PrintStream out;
    private final int width;
    private final String[] why;
    private final boolean[] up;
    private final long[] asked;
    private final long[] took;
    private final long began = System.nanoTime();
    private @Nullable Rack rack;

    private LinkCheck(Settings settings, PrintStream out) {
        this.gear = settings.gear();
        this.out = out;
        width = gear.stream().mapToInt(one -> one.name().length()).max().orElse(0);
        for (int i = 0; i < gear.size(); i++) {
            questions.add(question(gear.get(i), settings.listening().get(i)));
        }
        why = new String[gear.size()];
        Arrays.fill(why, "no answer yet");
        up = new boolean[gear.size()];
        asked = new long[gear.size()];
        Arrays.fill(asked, NEVER);
        took = new long[gear.size()];
        Arrays.fill(took, -1);
    }

    /** Its heartbeat or poll if it has one; else what its transport answers by itself. */
    private static @Nullable Question question(GearSettings gear, Listening listening) {
        if (listening.heartbeat() != null) {
            return new Question(
                    listening.heartbeat().payload(), listening.heartbeat().expect());
        } else if (listening.poll() != null) {
            return new Question(listening.poll().payload(), null);
        } else if (gear instanceof GearSettings.Http) {
            return new Question(new Payload.Http("HEAD", UriTemplate.parse("/"), Map.of(), null, null, 0, 0), null);
        }
        return gear instanceof GearSettings.WebSocket ? new Question(new Payload.Ping(), PONG) : null;
    }

    /** Connects to all gear for so long and tells of each change; false if a link is not up at the end. On the caller's thread. */
    public static boolean of(Settings settings, long nanos, PrintStream out) {
        LinkCheck check = new LinkCheck(settings, out);
        Trial.run(loop -> check.rack(settings, loop), (rack, loop) -> Trial.pause(loop, nanos));
        boolean all = true;
        for (int i = 0; i < check.gear.size(); i++) {
            all &= check.up[i];
            String state = check.up[i] ? "up" : "lost";
            String words = check.up[i] ? check.answer(i) : check.why[i];
            out.println(check.row(
                    i, String.format("%-5s %s  %s", state, check.gear.get(i).address(), words)));
        }
        return all;
    }

    private Rack rack(Settings settings, Loop loop) {
        List<Listening> manners = settings.listening().stream()
                .map(one -> Listening.PLAIN.with(one.secrets()))
                .toList();
        Rack made = new Rack(loop.eventLoop(), gear, manners, this);
        rack = made;
        return made;
    }

    private String answer(int number) {
        Question question = questions.get(number);
        if (question == null) {
            return "no answer to time";
        } else if (took[number] < 0) {
            return "up, but it did not answer";
        }
        double millis = took[number] / NANOS_PER_MILLI;
        boolean isCertain = question.expect() != null || gear.get(number) instanceof GearSettings.Http;
        return isCertain
                ? String.format(Locale.ROOT, "answers in %.1f ms", millis)
                : String.format(
                        Locale.ROOT,
                        "says something after %.1f ms; its heartbeat does not say what it expects, so that may be no answer",
                        millis);
    }

    private String row(int number, String text) {
        return String.format("  %-" + width + "s  %s", gear.get(number).name(), text);
    }

    @Override
    public void link(int number, LinkState state, String reason) {
        up[number] = state == LinkState.UP;
        why[number] = reason;
        String word = state.name().toLowerCase(Locale.ROOT);
        double millis = (System.nanoTime() - began) / NANOS_PER_MILLI;
        out.println(row(number, String.format(Locale.ROOT, "%9.1f ms  %s: %s", millis, word, reason)));
        Question question = questions.get(number);
        if (up[number] && question != null && took[number] < 0 && rack != null) {
            Message one = new Message("how long", List.of(new Message.Step(number, question.payload())));
            rack.sendTo(number, one, name -> null, 1);
        }
    }

    @Override
    public void sent(int number, long ticket, String text, long nanos) {
        asked[number] = nanos;
    }

    @Override
    public void missed(int number, long ticket, String text, String reason) {
        // The link's own news say why.
    }

    @Override
    public void reply(int number, long ticket, String text, long nanos) {
        Question question = questions.get(number);
        if (question != null && (ticket >= 0 || question.expect() == null || fits(question.expect(), text))) {
            answered(number, nanos);
        }
    }

    private static boolean fits(Match expect, String text) {
        try {
            return expect.in(new Reply(text)).isPresent();
        } catch (Match.TooLongException e) {
            return false;
        }
    }

    private void answered(int number, long nanos) {
        if (asked[number] != NEVER && took[number] < 0) {
            took[number] = nanos - asked[number];
        }
    }

    /** An answer that says no is an answer. */
    @Override
    public void refused(int number, long ticket, boolean silent, @Nullable String reason) {
        if (!silent) {
            answered(number, System.nanoTime());
        }
    }
}
