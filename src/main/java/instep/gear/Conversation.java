package instep.gear;

import instep.machine.Values;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.function.LongPredicate;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/**
 * What is said to one gear and what it answers: messages of several steps, answers that are awaited, the heartbeat. Stands between the link and who listens
 * to it; what needs none of this passes straight through. Loop thread only.
 */
final class Conversation implements GearListener {
    private static final long NOBODY = -1;
    private static final long FOREVER_NANOS = TimeUnit.DAYS.toNanos(3_650);

    private final GearSettings settings;
    private final Net net;
    private final Post listener;
    private final Link link;
    private Heart heart;
    private final List<Errand> errands = new ArrayList<>();
    /** What is taken back is not missed. */
    private boolean takesBack;

    /** Talks to that gear over a link of its own. */
    Conversation(GearSettings settings, Listening manners, Net net, Post listener) {
        this.settings = settings;
        this.net = net;
        this.listener = listener;
        link = Links.to(settings, manners, net, new Report(this, listener.gear()));
        heart = new Heart(manners.heartbeat(), net, link);
    }

    /** Goes on over the same link for another listener, with a heartbeat as it has it. */
    void goOn(Listening manners, GearListener other, int number) {
        listener.to(other, number);
        heart.stop();
        heart = new Heart(manners.heartbeat(), net, link);
        if (link.isUp()) {
            heart.link(LinkState.UP);
        }
    }

    Link link() {
        return link;
    }

    boolean isQuiet() {
        return link.isQuiet() && errands.isEmpty();
    }

    /** Says those steps that are for this gear. */
    void say(Message message, Values values, long ticket) {
        List<Message.Step> own = message.steps().stream()
                .filter(step -> step.gear() == listener.gear())
                .toList();
        if (own.stream().allMatch(Message.Step::isPlain)) {
            own.forEach(step -> link.send(step.payload(), values, ticket));
            return;
        }
        long last = net.nanos() + (message.isCut() ? settings.staleAfterNanos() : FOREVER_NANOS);
        Errand errand = new Errand(own, values, ticket, last);
        errands.add(errand);
        go(errand);
    }

    void withdraw(LongPredicate tickets, String why) {
        if (!errands.isEmpty()) { // which they are, mostly, and this is on the way of every cut
            List.copyOf(errands).stream()
                    .filter(errand -> tickets.test(errand.ticket()) && !errand.isCutShort())
                    .forEach(errand -> cutShort(errand, why));
        }
        link.withdraw(tickets, why);
    }

    /** The same without a word. */
    void takeBack(LongPredicate tickets) {
        takesBack = true;
        withdraw(tickets, "");
        takesBack = false;
    }

    private void cutShort(Errand errand, String why) {
        errand.cutShort();
        if (errand.stage() == Errand.Stage.PAUSED) {
            end(errand);
            missed(errand, errand.step(), why);
        }
        errand.rest().forEach(step -> missed(errand, step, why));
    }

    void close() {
        heart.stop();
        for (Errand errand : List.copyOf(errands)) {
            end(errand);
            if (errand.stage() == Errand.Stage.AWAITING && errand.step().expect() != null) {
                listener.refused(listener.gear(), errand.ticket(), true, "Instep has ended before an answer came");
            }
            errand.rest().forEach(step -> missed(errand, step, "Instep has ended"));
        }
        link.close();
    }

    private void go(Errand errand) {
        long pause = errand.step().waitNanos();
        if (pause == 0) {
            leave(errand);
        } else {
            errand.enter(Errand.Stage.PAUSED);
            errand.waitWith(net.after(pause, () -> leave(errand)));
        }
    }

    private void leave(Errand errand) {
        errand.enter(Errand.Stage.LEAVING);
        link.send(errand.step().payload(), errand.values(), errand.ticket());
    }

    private void done(Errand errand) {
        errand.waitWith(null);
        if (errand.advance()) {
            go(errand);
        } else {
            errands.remove(errand);
        }
    }

    private void failed(Errand errand, boolean silent, @Nullable String why) {
        if (errand.repeats(net.nanos())) {
            leave(errand);
            return;
        }
        end(errand);
        listener.refused(listener.gear(), errand.ticket(), silent, why);
        if (!errand.isCutShort()) {
            errand.rest().forEach(step -> missed(errand, step, "the step before it was not done"));
        }
    }

    private void end(Errand errand) {
        errand.waitWith(null);
        errands.remove(errand);
    }

    private void missed(Errand errand, Message.Step step, String why) {
        if (!takesBack) {
            String words = Wording.of(settings, step.payload(), errand.values());
            listener.missed(listener.gear(), errand.ticket(), words, why);
        }
    }

    private Optional<Errand> find(Predicate<Errand> wanted) {
        return errands.stream().filter(wanted).findFirst();
    }

    private Optional<Errand> at(Errand.Stage stage, long ticket) {
        return errands.isEmpty() ? Optional.empty() : find(e -> e.stage() == stage && e.ticket() == ticket);
    }

    @Override
    public void link(int number, LinkState state, String why) {
        listener.link(number, state, why);
        heart.link(state);
        if (state == LinkState.LOST) {
            for (Errand errand : List.copyOf(errands)) {
                if (errand.stage() == Errand.Stage.AWAITING && !isRequest(errand)) {
                    failed(errand, true, "the link was lost before an answer came");
                }
            }
        }
    }

    private static boolean isRequest(Errand errand) {
        return errand.step().payload() instanceof Payload.Http;
    }

    @Override
    public void sent(int number, long ticket, String text, long nanos) {
        if (heart.sent(ticket)) {
            listener.asked(number, nanos);
            return;
        }
        listener.sent(number, ticket, text, nanos);
        if (errands.isEmpty()) {
            return;
        }
        at(Errand.Stage.LEAVING, ticket).ifPresent(this::sent);
    }

    private void sent(Errand errand) {
        Message.Expect expect = errand.step().expect();
        if (isRequest(errand)) {
            errand.enter(Errand.Stage.AWAITING); // its link knows how long
        } else if (expect == null) {
            done(errand);
        } else {
            errand.enter(Errand.Stage.AWAITING);
            long millis = TimeUnit.NANOSECONDS.toMillis(expect.withinNanos());
            errand.waitWith(net.after(
                    expect.withinNanos(),
                    () -> failed(errand, true, "no such answer within " + millis + " ms" + errand.instead())));
        }
    }

    @Override
    public void missed(int number, long ticket, String text, String why) {
        if (heart.missed(ticket)) {
            return;
        }
        if (!takesBack) {
            listener.missed(number, ticket, text, why);
        }
        at(Errand.Stage.LEAVING, ticket).ifPresent(errand -> {
            end(errand);
            if (!errand.isCutShort()) {
                if (errand.step().expect() != null) {
                    listener.refused(number, ticket, true, "it could not be told: " + why);
                }
                errand.rest().forEach(step -> missed(errand, step, "the step before it was missed"));
            }
        });
    }

    @Override
    public void answer(int number, long ticket, String body, long nanos) {
        if (heart.isOurs(ticket)) {
            listener.answer(number, NOBODY, body, nanos);
            return;
        }
        listener.answer(number, ticket, body, nanos);
        at(Errand.Stage.AWAITING, ticket).ifPresent(errand -> {
            if (looksRight(errand, body)) {
                errand.lookedRight();
            } else {
                errand.heardInstead(body);
            }
        });
    }

    @Override
    public void reply(int number, long ticket, String text, long nanos) {
        if (heart.heard(ticket, text)) {
            if (!heart.isOurs(ticket)) { // else it is the status of a response, whose body has been told
                listener.answer(number, NOBODY, text, nanos);
            }
            return;
        }
        listener.reply(number, ticket, text, nanos);
        if (errands.isEmpty()) {
            return;
        }
        find(e -> e.stage() == Errand.Stage.AWAITING && answers(e, ticket, text))
                .ifPresentOrElse(
                        this::answered,
                        () -> errands.stream()
                                .filter(e -> e.stage() == Errand.Stage.AWAITING && !isRequest(e))
                                .forEach(e -> e.heardInstead(text)));
    }

    /** An HTTP answer names its request; of others, the oldest that waits for such an answer has it. */
    private static boolean answers(Errand errand, long ticket, String text) {
        return isRequest(errand) ? errand.ticket() == ticket : looksRight(errand, text);
    }

    private void answered(Errand errand) {
        if (isRequest(errand) && !errand.isRight()) {
            failed(errand, false, "it answered, but not what was expected" + errand.instead());
        } else {
            done(errand);
        }
    }

    private static boolean looksRight(Errand errand, String text) {
        Message.Expect expect = errand.step().expect();
        return expect != null && fits(expect.match(), text);
    }

    /** A pattern that takes too long fits nothing. */
    static boolean fits(Match match, String text) {
        try {
            return match.in(new Reply(text)).isPresent();
        } catch (Match.TooLongException e) {
            return false;
        }
    }

    @Override
    public void refused(int number, long ticket, boolean silent, @Nullable String why) {
        if (heart.refused(ticket, silent)) {
            return;
        }
        Optional<Errand> errand = at(Errand.Stage.AWAITING, ticket);
        if (errand.isPresent()) {
            failed(errand.get(), silent, why);
        } else {
            listener.refused(number, ticket, silent, why);
        }
    }
}
