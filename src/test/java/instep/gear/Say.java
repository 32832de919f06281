package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;

/** Messages and settings for tests, briefly. */
final class Say {
    static final Values NOTHING = name -> null;
    static final long STALE_MILLIS = 300;

    private Say() {}

    static Values with(String name, Object value) {
        return asked -> asked.equals(name) ? value : null;
    }

    static Message text(int gear, String line) {
        return message(gear, new Payload.Text(Template.parse(line)));
    }

    static Message hex(int gear, String digits) {
        return message(gear, new Payload.Bytes(digits));
    }

    static Message osc(int gear, String address, Payload.Argument... arguments) {
        return message(gear, new Payload.Osc(Template.parse(address), List.of(arguments)));
    }

    static Message http(int gear, String method, String target) {
        return message(gear, new Payload.Http(method, UriTemplate.parse(target), Map.of(), null, null, 0, 0));
    }

    static Message json(int gear, String method, String target, String body) {
        return message(
                gear,
                new Payload.Http(
                        method, UriTemplate.parse(target), Map.of(), Template.parse(body), "application/json", 0, 0));
    }

    static Message message(int gear, Payload payload) {
        return new Message("told", List.of(new Message.Step(gear, payload)));
    }

    static GearSettings.Tcp mixer(int port, GearSettings.LineEnd lineEnd) {
        return new GearSettings.Tcp("mixer", "127.0.0.1", port, lineEnd, stale());
    }

    static GearSettings.Osc lamp(int port) {
        return new GearSettings.Osc("lamp", "127.0.0.1", port, stale());
    }

    static GearSettings.Http recorder(int port) {
        return new GearSettings.Http("recorder", "127.0.0.1", port, "", Map.of(), TimeUnit.SECONDS.toNanos(1), stale());
    }

    static long stale() {
        return TimeUnit.MILLISECONDS.toNanos(STALE_MILLIS);
    }
}
