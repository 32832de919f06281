package instep.demo;

import instep.gear.GearSettings;
import instep.gear.GearSettings.LineEnd;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;

/** Stand-ins for all gear of a configuration, each by the transport that it speaks or the nearest to it, on free ports of this machine. */
public final class Stage implements AutoCloseable {
    private static final String HOST = "127.0.0.1";

    private final List<StandIn> standIns = new ArrayList<>();
    private final List<GearSettings> gear = new ArrayList<>();

    private Stage() {}

    /** Opens a stand-in for each. */
    public static Stage open(List<GearSettings> original) throws IOException {
        Stage stage = new Stage();
        for (GearSettings settings : original) {
            StandIn standIn = standIn(settings);
            stage.standIns.add(standIn);
            stage.gear.add(asStandIn(settings, standIn.port()));
        }
        return stage;
    }

    private static StandIn standIn(GearSettings settings) throws IOException {
        if (settings instanceof GearSettings.Http) {
            return StandInRecorder.open();
        }
        boolean datagrams = settings instanceof GearSettings.Osc || settings instanceof GearSettings.Udp;
        return datagrams ? StandInLamp.open() : StandInMixer.open();
    }

    /** What a stand-in cannot be spoken to in, it is spoken to in the plainest form of: OSC over UDP, and lines over TCP. */
    private static GearSettings asStandIn(GearSettings settings, int port) {
        if (settings instanceof GearSettings.Osc osc) {
            return new GearSettings.Osc(osc.name(), HOST, port, osc.staleAfterNanos());
        }
        boolean plain = settings instanceof GearSettings.Http || settings instanceof GearSettings.Udp;
        return plain
                ? settings.at(HOST, port)
                : new GearSettings.Tcp(settings.name(), HOST, port, LineEnd.CRLF, settings.staleAfterNanos());
    }

    /** The gear at the stand-ins' addresses, in the same order. */
    public List<GearSettings> gear() {
        return List.copyOf(gear);
    }

    /** The stand-ins, in the order of the gear. */
    public List<StandIn> standIns() {
        return List.copyOf(standIns);
    }

    /** Where each stands, a line for each. */
    public List<String> lines() {
        return gear.stream()
                .map(one -> "stand-in for " + one.name() + ": " + one.address())
                .toList();
    }

    @Override
    public void close() {
        standIns.forEach(StandIn::close);
    }
}
