package instep.machine;

/**
 * Where in a configuration something was said.
 *
 * @param line counted from 1; 0: the file as a whole
 * @param column counted from 1
 */
public record Place(String file, int line, int column) {
    @Override
    public String toString() {
        return line == 0 ? file : file + ":" + line + ":" + column;
    }
}
