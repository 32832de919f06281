package instep.daemon;

import instep.config.AngleSettings;
import instep.config.Settings;
import instep.gear.Match;
import instep.gear.Reply;
import instep.gear.ReplyPattern;
import instep.machine.Values;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/** Looks at what gear says for what the mapping takes from it. Loop thread only. */
final class Ears {
    /** A pattern that a reply looks like, with the values in it. */
    record Heard(ReplyPattern pattern, Values values) {}

    private final Settings settings;
    private final List<String> angles;
    private final String[] lastAnswer;
    private final Set<String> given = new HashSet<>();
    private Optional<String> trouble = Optional.empty();

    Ears(Settings settings) {
        this.settings = settings;
        angles = settings.angles().stream().map(AngleSettings::name).toList();
        lastAnswer = new String[settings.gear().size()];
        Arrays.fill(lastAnswer, "");
    }

    /** The patterns that it looks like, in their order. */
    List<Heard> look(int gear, String text) {
        List<ReplyPattern> patterns = settings.listening().get(gear).replies();
        if (patterns.isEmpty()) {
            return List.of();
        }
        Reply reply = new Reply(text);
        List<Heard> heard = new ArrayList<>();
        for (ReplyPattern pattern : patterns) {
            look(pattern, reply).ifPresent(values -> heard.add(new Heard(pattern, values)));
        }
        return heard;
    }

    private Optional<Values> look(ReplyPattern pattern, Reply reply) {
        try {
            return pattern.match().in(reply);
        } catch (Match.TooLongException e) {
            String sentence = String.valueOf(e.getMessage());
            if (given.add(sentence)) {
                trouble = Optional.of(sentence);
            }
            return Optional.empty();
        }
    }

    /** What is wrong with a pattern, once for each. */
    Optional<String> trouble() {
        Optional<String> now = trouble;
        trouble = Optional.empty();
        return now;
    }

    /** Whether a gear that is asked over and over says what it said before; remembers it. */
    boolean isOld(int gear, String answer) {
        boolean old = lastAnswer[gear].equals(answer);
        lastAnswer[gear] = answer;
        return old;
    }

    /** The number of an angle that the gear names; -1 if it is none. */
    int angle(ReplyPattern.AngleName name, Values values) {
        return angles.indexOf(name.angle(values));
    }
}
