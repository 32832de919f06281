package instep.gear;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A listener that writes down what it is told, a line each. */
class Told implements GearListener {
    final List<String> lines = new ArrayList<>();
    final List<Long> sentAt = new ArrayList<>();

    @Override
    public void link(int gear, LinkState state, String why) {
        lines.add(gear + " " + state + " " + why);
    }

    @Override
    public void sent(int gear, long ticket, String text, long nanos) {
        lines.add(gear + " sent " + ticket + " " + text);
        sentAt.add(nanos);
    }

    @Override
    public void missed(int gear, long ticket, String text, String why) {
        lines.add(gear + " missed " + ticket + " " + text + ": " + why);
    }

    @Override
    public void reply(int gear, long ticket, String text, long nanos) {
        lines.add(gear + " reply " + ticket + " " + text);
    }

    @Override
    public void refused(int gear, long ticket, boolean silent, @Nullable String why) {
        lines.add(gear + (silent ? " silent " : " refused ") + ticket + " " + why);
    }

    boolean has(String beginning) {
        return lines.stream().anyMatch(line -> line.startsWith(beginning));
    }

    long count(String beginning) {
        return lines.stream().filter(line -> line.startsWith(beginning)).count();
    }
}
