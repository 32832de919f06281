package instep.config;

import instep.config.Node.Entry;
import instep.gear.Message;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Reads {@code angles}: the camera positions. */
final class AngleReader {
    static final List<String> KEYS = List.of("reel", "cut");

    private final Scope scope;
    private final MessageReader messages;
    private final Names reels = new Names("reel");

    AngleReader(Scope scope, MessageReader messages) {
        this.scope = scope;
        this.messages = messages;
    }

    List<AngleSettings> read(@Nullable Node section) {
        List<AngleSettings> angles = new ArrayList<>();
        if (section != null) {
            List<Entry> entries = Fields.named("angle", section, scope.scalars());
            if (entries.isEmpty()) {
                scope.angles().leaveOpen();
            }
            for (Entry entry : entries) {
                scope.angles().declare(entry.name(), entry.place());
                angles.add(angle(entry));
            }
        }
        return angles;
    }

    private AngleSettings angle(Entry entry) {
        String what = "angle " + Words.quote(entry.name());
        Fields fields = Fields.of(entry.place(), what, entry.value(), KEYS, scope.scalars());
        Node reel = fields.require("reel", "expected the reel name of its recorder, which the cut list needs");
        String reelName = reel == null ? "" : scope.scalars().text(reel, "a reel name", "");
        if (reel != null && !reelName.isEmpty()) {
            reels.declare(reelName, reel.place())
                    .ifPresent(before -> scope.faults()
                            .add(
                                    reel.place(),
                                    "the reel " + Words.quote(reelName) + " is already that of the angle "
                                            + Words.at(before, reel.place())
                                            + "; expected a reel of its own for each angle"));
        }
        Node cut = fields.get("cut");
        return new AngleSettings(
                entry.name(),
                reelName,
                new Message("cut " + entry.name(), cut == null ? List.of() : messages.steps(cut), true));
    }
}
