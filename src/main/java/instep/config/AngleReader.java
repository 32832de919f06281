package instep.config;

import instep.config.Node.Entry;
import instep.gear.Message;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.jspecify.annotations.Nullable;

/** Reads {@code angles}: the camera positions. */
final class AngleReader {
    static final List<String> KEYS = List.of("reel", "cut", "files", "offset");

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

    /** A recorder may be ahead of the journal or behind it. */
    private long offset(@Nullable Node node) {
        String form = "a time such as 3f or -40ms";
        String text = node == null ? "0f" : scope.scalars().text(node, form, "0f");
        boolean behind = text.startsWith("-");
        FrameRate rate = scope.scalars().rate();
        OptionalLong nanos = DurationText.nanos(behind ? text.substring(1) : text, rate);
        if (node != null && nanos.isEmpty()) {
            scope.scalars().expected(node, form);
        }
        long frames = rate.frameAt(nanos.orElse(0));
        return behind ? -frames : frames;
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
                new Message("cut " + entry.name(), cut == null ? List.of() : messages.steps(cut), true),
                fields.text("files", "a pattern of names of files", ""),
                offset(fields.get("offset")));
    }
}
