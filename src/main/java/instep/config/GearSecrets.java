package instep.config;

import instep.gear.GearSettings;
import instep.gear.Listening;
import instep.gear.Message;
import instep.gear.Payload;
import instep.gear.Secret;
import instep.gear.Secrets;
import instep.machine.Template;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;

/** Which secrets stand in what each gear is told: its link knows these, and no others. */
final class GearSecrets {
    private GearSecrets() {}

    /** How each gear is listened to, with its secrets, which are found by their names. */
    static List<Listening> told(
            List<GearSettings> gear,
            List<Listening> listening,
            List<AngleSettings> angles,
            List<Message> messages,
            Map<String, Secret> secrets) {
        if (secrets.isEmpty()) {
            return listening;
        }
        List<Message> all = Stream.concat(messages.stream(), angles.stream().map(AngleSettings::cut))
                .toList();
        List<Listening> told = new ArrayList<>();
        for (int i = 0; i < listening.size(); i++) {
            Set<String> names = new TreeSet<>();
            all.forEach(message -> names.addAll(names(message, told.size())));
            payloads(listening.get(i)).forEach(payload -> names.addAll(Secrets.names(payload)));
            headers(gear.get(i))
                    .values()
                    .forEach(value -> names.addAll(Template.parse(value).names()));
            told.add(listening.get(i).with(found(names, secrets)));
        }
        return told;
    }

    private static List<String> names(Message message, int gear) {
        return message.payloads(gear).stream()
                .flatMap(payload -> Secrets.names(payload).stream())
                .toList();
    }

    private static List<Payload> payloads(Listening listening) {
        List<Payload> own = new ArrayList<>();
        if (listening.poll() != null) {
            own.add(listening.poll().payload());
        }
        if (listening.heartbeat() != null) {
            own.add(listening.heartbeat().payload());
        }
        return own;
    }

    private static Map<String, String> headers(GearSettings gear) {
        if (gear instanceof GearSettings.Http http) {
            return http.headers();
        }
        return gear instanceof GearSettings.WebSocket socket ? socket.headers() : Map.of();
    }

    private static List<Secret> found(Set<String> names, Map<String, Secret> secrets) {
        return names.stream()
                .filter(name -> name.startsWith(Secrets.PREFIX))
                .map(name -> secrets.get(name.substring(Secrets.PREFIX.length())))
                .filter(Objects::nonNull)
                .toList();
    }
}
