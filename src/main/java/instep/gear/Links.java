package instep.gear;

/** Makes the link that a gear needs. What a transport brings with it is loaded only where some gear uses it. */
final class Links {
    private Links() {}

    /** A link that has not begun to connect; blocks on files that the settings name. */
    static Link to(GearSettings settings, Listening manners, Net net, Report report) {
        try {
            Secrets told = Secrets.of(manners.secrets());
            report.hide(told.hidden());
            return fit(settings, net.hiding(report).knowing(told).queueing(manners.queue()), report);
        } catch (UnfitException e) {
            return new BrokenLink(settings, e.why(), report);
        }
    }

    private static Link fit(GearSettings settings, Net net, Report report) throws UnfitException {
        if (settings instanceof GearSettings.Tcp tcp) {
            return new StreamLink(tcp, new TcpPlug(tcp), net, report);
        } else if (settings instanceof GearSettings.Osc osc) {
            return osc.carrier() == GearSettings.OscCarrier.UDP
                    ? new DatagramLink(osc, new OscEncoder(), OscText::of, net, report)
                    : new StreamLink(osc, new OscPlug(osc), net, report);
        } else if (settings instanceof GearSettings.Http http) {
            return new HttpLink(http, net, report);
        } else if (settings instanceof GearSettings.Udp udp) {
            return new DatagramLink(udp, new TextEncoder(udp.lineEnd()), Pieces::text, net, report);
        } else if (settings instanceof GearSettings.WebSocket socket) {
            return new StreamLink(socket, new WebSocketPlug(socket, net, report), net, report);
        } else if (settings instanceof GearSettings.Sound sound) {
            return new SlowLink(sound, new SoundEncoder(), () -> AudioLine.open(sound.output()), net, report);
        } else if (settings instanceof GearSettings.Led led) {
            if (!net.epoll()) {
                throw new UnfitException("lamps of pedals need Linux's epoll, which is not to be had here");
            }
            return new SlowLink(
                    led,
                    new LedEncoder(led.report()),
                    () -> HidrawNode.open(led, HidrawLibc::open, Hid4JavaDevices::open),
                    net,
                    report);
        }
        return new SerialLink((GearSettings.Serial) settings, net, report);
    }
}
