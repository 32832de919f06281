package instep.machine;

/** Events of the machine's own making, first in, first out. It grows, but not in steady use. */
final class InternalQueue {
    private int[] events = new int[64];
    private int head;
    private int size;

    boolean isEmpty() {
        return size == 0;
    }

    void add(int event) {
        if (size == events.length) {
            int[] larger = new int[size * 2];
            for (int i = 0; i < size; i++) {
                larger[i] = events[(head + i) % size];
            }
            events = larger;
            head = 0;
        }
        events[(head + size++) % events.length] = event;
    }

    int poll() {
        int event = events[head];
        head = (head + 1) % events.length;
        size--;
        return event;
    }

    void clear() {
        size = 0;
    }
}
