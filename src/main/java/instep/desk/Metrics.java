package instep.desk;

import java.io.IOException;
import java.lang.management.BufferPoolMXBean;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryMXBean;
import java.lang.management.MemoryUsage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.function.ToLongFunction;
import java.util.stream.Stream;

/** What a monitor may want to know, as text. */
final class Metrics {
    private static final Path STATUS = Path.of("/proc/self/status");
    private static final Path DESCRIPTORS = Path.of("/proc/self/fd");
    private static final String RESIDENT = "VmRSS:";
    private static final long KIB = 1_024;

    private final Tallies tallies;
    private final Desk desk;
    private final MetricsText text;

    private Metrics(Tallies tallies, Desk desk, MetricsText text) {
        this.tallies = tallies;
        this.desk = desk;
        this.text = text;
    }

    static String text(Tallies tallies, Desk desk, long wrongTokens, MetricsForm form) {
        Metrics metrics = new Metrics(tallies, desk, new MetricsText(form));
        metrics.deeds();
        metrics.text.counter("instep_desk_wrong_tokens", "Wrong tokens that were tried at this page.", wrongTokens);
        metrics.gear();
        metrics.record();
        metrics.process();
        return metrics.text.end();
    }

    private void deeds() {
        text.gauges("instep_build_info", "The version that runs.");
        text.sample("instep_build_info", MetricsText.label("version", desk.version()), "1");
        text.counter("instep_edges", "Contacts that closed or opened.", tallies.edges());
        text.counter("instep_gestures", "Gestures that were recognized.", tallies.gestures());
        text.counters("instep_cuts", "Cuts, by who made them.");
        text.count("instep_cuts", MetricsText.label("by", "mapping"), tallies.own());
        text.count("instep_cuts", MetricsText.label("by", "gear"), tallies.foreign());
        text.counter("instep_takes", "Takes that began.", tallies.takes());
        text.counter("instep_marks", "Marks that were set.", tallies.marks());
        text.counter("instep_faults", "Faults that were written down.", tallies.faults());
        text.histogram(
                "instep_press_to_wire_seconds",
                "From the instant for which something was decided, the kernel's for a press, to the socket's taking it.",
                tallies.pressToWire());
        text.histogram(
                "instep_cut_confirmed_seconds",
                "From the instant of a cut until the gear said that it is on air.",
                tallies.confirmed());
    }

    private void gear() {
        List<Tallies.Gear> gear = tallies.gear();
        text.gauges("instep_link_up", "Whether gear can be reached.");
        gear.forEach(g -> text.sample("instep_link_up", name(g), g.up() ? "1" : "0"));
        text.gauges("instep_link_latency_seconds", "How long the last message to gear took from the press.");
        gear.stream()
                .filter(g -> g.lastMicros() >= 0)
                .forEach(g -> text.sample("instep_link_latency_seconds", name(g), MetricsText.micros(g.lastMicros())));
        counted("instep_link_losses", "How often a link was lost.", Tallies.Gear::lost);
        counted("instep_messages_sent", "Messages that a socket took.", Tallies.Gear::sent);
        counted("instep_messages_missed", "Messages that were not sent and will not be.", Tallies.Gear::missed);
        text.gauges("instep_pedal_up", "Whether a pedal unit can be read.");
        tallies.units()
                .forEach(unit ->
                        text.sample("instep_pedal_up", MetricsText.label("pedal", unit.name()), unit.up() ? "1" : "0"));
    }

    private void counted(String name, String help, ToLongFunction<Tallies.Gear> count) {
        text.counters(name, help);
        tallies.gear().forEach(g -> text.count(name, name(g), count.applyAsLong(g)));
    }

    private static String name(Tallies.Gear gear) {
        return MetricsText.label("gear", gear.name());
    }

    private void record() {
        long now = desk.now();
        long waiting =
                desk.oldestWaiting().isPresent() ? now - desk.oldestWaiting().orElse(now) : 0;
        text.counter("instep_journal_records", "Records that the journal's thread has seen.", tallies.records());
        text.counter(
                "instep_journal_lost_records", "Records that the disk did not take in time.", tallies.lostRecords());
        text.gauge(
                "instep_journal_lag_seconds",
                "How late the last record came to the file, or how long one is waiting already.",
                MetricsText.nanos(Math.max(0, Math.max(waiting, tallies.journalLag()))));
        text.gauge(
                "instep_journal_up",
                "Whether the journal can be written.",
                desk.journalTrouble().isEmpty() ? "1" : "0");
        text.gauge(
                "instep_sync_age_seconds",
                "How long ago timecode was set or corrected.",
                MetricsText.nanos(Math.max(0, now - tallies.syncedAt())));
        text.gauge(
                "instep_sync_offset_seconds",
                "How far timecode was moved then; forward is positive.",
                MetricsText.nanos(tallies.syncOffset()));
    }

    private void process() {
        MemoryMXBean memory = ManagementFactory.getMemoryMXBean();
        MemoryUsage heap = memory.getHeapMemoryUsage();
        MemoryUsage rest = memory.getNonHeapMemoryUsage();
        String kind = "area";
        text.gauges("jvm_memory_used_bytes", "Memory that the Java machine uses.");
        text.sample("jvm_memory_used_bytes", MetricsText.label(kind, "heap"), String.valueOf(heap.getUsed()));
        text.sample("jvm_memory_used_bytes", MetricsText.label(kind, "nonheap"), String.valueOf(rest.getUsed()));
        text.gauges("jvm_memory_committed_bytes", "Memory that the Java machine has for its use.");
        text.sample("jvm_memory_committed_bytes", MetricsText.label(kind, "heap"), String.valueOf(heap.getCommitted()));
        text.sample(
                "jvm_memory_committed_bytes", MetricsText.label(kind, "nonheap"), String.valueOf(rest.getCommitted()));
        text.gauges("jvm_buffer_pool_used_bytes", "Memory outside the heap that what goes over sockets is in.");
        ManagementFactory.getPlatformMXBeans(BufferPoolMXBean.class).stream()
                .filter(pool -> pool.getName().equals("direct"))
                .forEach(pool -> text.sample(
                        "jvm_buffer_pool_used_bytes",
                        MetricsText.label("pool", pool.getName()),
                        String.valueOf(pool.getMemoryUsed())));
        text.gauge(
                "jvm_threads",
                "Threads that live.",
                String.valueOf(ManagementFactory.getThreadMXBean().getThreadCount()));
        text.gauge("process_resident_memory_bytes", "Memory of the process.", String.valueOf(resident()));
        text.gauge("process_open_fds", "Open file descriptors of the process.", String.valueOf(descriptors()));
    }

    /** proc(5). */
    private static long resident() {
        try (Stream<String> lines = Files.lines(STATUS)) {
            return lines.filter(line -> line.startsWith(RESIDENT))
                    .mapToLong(line -> Long.parseLong(line.replaceAll("\\D", "")) * KIB)
                    .findFirst()
                    .orElse(0);
        } catch (IOException e) {
            return 0;
        }
    }

    private static long descriptors() {
        try (Stream<Path> open = Files.list(DESCRIPTORS)) {
            return open.count();
        } catch (IOException e) {
            return 0;
        }
    }
}
