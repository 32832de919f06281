package instep.machine;

/**
 * Where in a configuration something was said.
 *
 * @param line counted from 1
 * @param column counted from 1
 */
public record Place(String file, int line, int column) {
    @Override
    public String toString() {
        return file + ":" + line + ":" + column;
    }
}
