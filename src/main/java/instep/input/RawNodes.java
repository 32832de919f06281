package instep.input;

import io.netty.channel.IoEventLoop;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.Executor;
import java.util.concurrent.RejectedExecutionException;
import java.util.function.Consumer;

/**
 * The raw HID nodes as hid4java lists them, with what sysfs adds. Nodes that hid4java does not list, or all if it cannot
 * be loaded, are sysfs's alone.
 */
final class RawNodes {
    /**
     * What was found.
     *
     * @param fault why hid4java had no part in it; empty if it had
     */
    record Found(List<DeviceNode> nodes, String fault) {
        Found {
            nodes = List.copyOf(nodes);
        }
    }

    private final IoEventLoop loop;
    private final Executor background;
    private final Host host;
    private final Consumer<Found> then;
    private boolean busy;
    private boolean again;
    private boolean closed;

    RawNodes(IoEventLoop loop, Executor background, Host host, Consumer<Found> then) {
        this.loop = loop;
        this.background = background;
        this.host = host;
        this.then = then;
    }

    /** Lists in the background, then tells on the loop; what is asked while it is at it is one more round. */
    void refresh() {
        if (busy) {
            again = true;
            return;
        }
        busy = true;
        background.execute(() -> {
            Found found = find(host);
            try {
                loop.execute(() -> done(found));
            } catch (RejectedExecutionException e) {
                // the loop has ended, and nobody asks any more
            }
        });
    }

    /** Tells nothing any more. */
    void close() {
        closed = true;
    }

    private void done(Found found) {
        if (closed) {
            return;
        }
        busy = false;
        if (again) {
            again = false;
            refresh();
        }
        then.accept(found);
    }

    /** Lists at once; slow. */
    static Found find(Host host) {
        Map<String, DeviceNode> nodes = new LinkedHashMap<>();
        String fault = "";
        try {
            for (HidListing.Listed listed : host.hid().list()) {
                DeviceNode node = described(host.sysfs(), listed);
                nodes.put(node.file(), node);
            }
        } catch (HidListing.Unavailable e) {
            fault = Objects.requireNonNullElse(e.getMessage(), "hid4java cannot be used");
        }
        host.sysfs().raws().forEach(node -> nodes.putIfAbsent(node.file(), node));
        return new Found(List.copyOf(nodes.values()), fault);
    }

    private static DeviceNode described(Sysfs sysfs, HidListing.Listed listed) {
        Path file = Path.of(listed.path()).getFileName();
        Path node = sysfs.dev().resolve(file == null ? listed.path() : file.toString());
        DeviceNode known = sysfs.raw(node.getFileName().toString())
                .orElseGet(() -> new DeviceNode(node, "", listed.usb(), "", "", Capabilities.UNKNOWN));
        return new DeviceNode(
                node,
                known.name().isEmpty() ? listed.name() : known.name(),
                known.usb().isEmpty() ? listed.usb() : known.usb(),
                known.phys(),
                known.serial().isEmpty() ? listed.serial() : known.serial(),
                Capabilities.UNKNOWN);
    }
}
