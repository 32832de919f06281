package instep.edit;

import instep.cutlist.Mark;

/** Colours of marks, by the names that OpenTimelineIO's schema gives them. */
final class Colours {
    private Colours() {}

    static String of(String mark) {
        return switch (mark) {
            case Mark.RETAKE -> "RED";
            case Mark.CHAPTER -> "BLUE";
            case Mark.CLEAN -> "GREEN";
            default -> "YELLOW";
        };
    }
}
