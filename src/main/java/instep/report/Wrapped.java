package instep.report;

/** Text for a terminal of some columns. */
final class Wrapped {
    private final int width;
    private final StringBuilder out = new StringBuilder();

    Wrapped(int width) {
        this.width = width;
    }

    /** A line as it is. */
    void line(String text) {
        out.append(text.stripTrailing()).append(System.lineSeparator());
    }

    /** Words that go on in further lines. */
    void paragraph(String text) {
        StringBuilder line = new StringBuilder();
        for (String word : Letters.shown(text).strip().split(" +")) {
            for (String part = word; !part.isEmpty(); part = part.substring(Math.min(part.length(), width - 4))) {
                String piece = part.substring(0, Math.min(part.length(), width - 4));
                if (line.length() > 0 && line.length() + 1 + piece.length() > width) {
                    line(line.toString());
                    line.setLength(0);
                    line.append("   ");
                }
                line.append(line.length() == 0 ? "" : " ").append(piece);
            }
        }
        line(line.toString());
    }

    @Override
    public String toString() {
        return out.toString();
    }
}
