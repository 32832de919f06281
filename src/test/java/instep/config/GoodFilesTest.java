package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Layout;
import instep.cutlist.Media;
import instep.cutlist.Refinements;
import instep.cutlist.Retake;
import instep.cutlist.Sound;
import instep.cutlist.Source;
import instep.desk.DeskSettings;
import instep.gear.GearSettings;
import instep.gear.Message;
import instep.gear.Payload;
import instep.gear.Payload.Argument;
import instep.gear.SerialLine;
import instep.gesture.Threshold;
import instep.gesture.Timing;
import instep.input.NetContact;
import instep.input.NetPort;
import instep.input.PedalSettings;
import instep.input.net.Prefix;
import instep.journal.Durability;
import instep.journal.Keeping;
import instep.machine.Template;
import instep.time.FrameRate;
import java.net.InetSocketAddress;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;

@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class GoodFilesTest {
    private static final long MILLIS = 1_000_000L;

    private Settings pottery;
    private Settings everything;

    @BeforeAll
    void read() throws ConfigException {
        pottery = ConfigReader.read(Path.of("config-examples/pottery.yaml"), TestKeys.CODES);
        everything = ConfigReader.read(Path.of("src/test/resources/config/good/everything.yaml"), TestKeys.CODES);
    }

    @Test
    void readsTheExampleOfThePotteryLesson() {
        assertThat(pottery.gear())
                .containsExactly(
                        new GearSettings.Tcp("mixer", "192.0.2.10", 9701, GearSettings.LineEnd.CRLF, 300 * MILLIS),
                        new GearSettings.Http(
                                "recorder", "192.0.2.11", 9702, "", Map.of(), 1000 * MILLIS, 300 * MILLIS),
                        new GearSettings.Osc("lamp", "192.0.2.12", 9703, 300 * MILLIS));
        assertThat(pottery.angles()).extracting(AngleSettings::name).containsExactly("wide", "wheel", "hands", "glaze");
        assertThat(pottery.messages()).extracting(Message::name).containsExactly("roll", "stop", "alarm");
        assertThat(pottery.contacts())
                .extracting(c -> c.fullName())
                .containsExactly("floor.left", "floor.middle", "floor.right");
        assertThat(pottery.timecode().rate()).isEqualTo(FrameRate.R25);
        assertThat(pottery.journal().folder()).isNull();
    }

    @Test
    void readsWhatACutListIsToBeLike() {
        CutlistSettings cutlist = everything.cutlist();
        // At 29.97 frames a second 120 ms are 3.6 frames, of which 3 are whole, and 30 s are 899.
        assertThat(cutlist.refinements())
                .isEqualTo(new Refinements(
                        6, 3, 12, 11, new Retake(Retake.Fate.DROP, Set.of(Retake.CleanPoint.values()), 899), 29, 59));
        // ST 12-1: an hour of drop-frame labels is 107892 frames.
        assertThat(cutlist.layout())
                .isEqualTo(new Layout(FrameRate.R29_97_DROP, 2 * 107_892, 12, Media.PROXY, Sound.of("wide")));
        assertThat(cutlist.snap()).isEqualTo(new SnapSettings("sound/{day}-take{take}.wav", 12, 200_000_000, -45));
        assertThat(cutlist.snapSound(3, "2026-03-02")).isEqualTo("sound/2026-03-02-take3.wav");
        assertThat(cutlist.source("wheel", "WHEEL", 3, "2026-03-02"))
                .isEqualTo(new Source("wheel", "WHEEL", "proxies/WHEEL.mp4", "2026-03-02/wheel-3.mov"));
        assertThat(pottery.cutlist()).isEqualTo(CutlistSettings.none(FrameRate.R25));
    }

    @Test
    void readsEveryWayToReachGear() throws ConfigException {
        Settings all = ConfigReader.read(Path.of("src/test/resources/config/good/transports.yaml"), TestKeys.CODES);
        assertThat(all.gear())
                .extracting(GearSettings::address)
                .containsExactly(
                        "tls mixer.example:9701",
                        "udp 192.0.2.10:9701",
                        "osc tcp 192.0.2.10:9701",
                        "osc tcp 192.0.2.10:9701",
                        "https 192.0.2.10:443/api",
                        "wss 192.0.2.10:443/desk?a=1",
                        "serial /dev/ttyUSB0",
                        "led of floor");
        assertThat(all.gear().get(6))
                .isEqualTo(new GearSettings.Serial(
                        "g",
                        Path.of("/dev/ttyUSB0"),
                        new SerialLine(38_400, 7, SerialLine.Parity.EVEN, 2),
                        GearSettings.LineEnd.LF,
                        300 * MILLIS));
        assertThat(((GearSettings.Osc) all.gear().get(2)).carrier()).isEqualTo(GearSettings.OscCarrier.TCP_SLIP);
        List<Message.Step> steps = all.messages().get(0).steps();
        assertThat(((Payload.OscBundle) steps.get(1).payload()).afterNanos()).isEqualTo(40 * MILLIS);
        Payload.Http form = (Payload.Http) steps.get(2).payload();
        assertThat(form.body()).hasToString("a+b=1%26{take}");
        assertThat(form.target().names()).containsExactly("angle");
        assertThat(((Payload.Http) steps.get(3).payload()).target().names()).containsExactly("angle");
    }

    @Test
    void putsTheAngleOnAirWithTheMessageOfItsCut() {
        assertThat(pottery.angles().get(1))
                .isEqualTo(new AngleSettings(
                        "wheel",
                        "WHEEL",
                        new Message("cut wheel", List.of(new Message.Step(0, text("CUT 2"))), true),
                        "",
                        0));
        assertThat(everything.angles().get(0).files()).isEqualTo("A???_*.mov");
        assertThat(everything.angles().get(0).offset()).isEqualTo(-2);
    }

    @Test
    void givesEachOscArgumentTheTypeThatItWasWrittenWith() {
        Payload.Osc osc = (Payload.Osc) step("roll", 1);
        assertThat(osc.address().names()).containsExactly("angle");
        assertThat(osc.arguments())
                .containsExactly(
                        new Argument.Int32(1),
                        new Argument.Float32(0.5f),
                        new Argument.Text(Template.parse("take {take}")),
                        Argument.Symbol.TRUE,
                        Argument.Symbol.FALSE,
                        Argument.Symbol.NIL,
                        new Argument.Int64(5_000_000_000L),
                        new Argument.Float64(0.25),
                        new Argument.Blob("0aff"),
                        Argument.Symbol.IMPULSE,
                        new Argument.Int32(3),
                        new Argument.Float32(2),
                        new Argument.Text(Template.parse("4")));
    }

    /** What JSON text must look like: RFC 8259, sections 3 to 7. */
    @Test
    void writesJsonInWhichOnlyTheValuesOfTemplatesAreOpen() {
        Payload.Http http = (Payload.Http) step("roll", 0);
        Template body = Objects.requireNonNull(http.body());
        assertThat(body.render(name -> "1\" \\ \n", Template.Escape.JSON))
                .isEqualTo("{\"mode\":\"record\",\"take\":\"take \\\"1\\\" \\\\ \\u000a\\\"\","
                        + "\"list\":[1,-2.50,true,null,\"01\"]}");
        assertThat(http.contentType()).isEqualTo("application/json");
    }

    @Test
    void readsRequestsWithTheirExpectations() {
        Payload.Http http = (Payload.Http) step("roll", 0);
        assertThat(http.method()).isEqualTo("PUT");
        assertThat(http.target()).hasToString("/transport?take={take}");
        assertThat(http.headers()).containsEntry("X-Note", Template.parse("{take}"));
        assertThat(http.expectStatus()).isEqualTo(204);
        assertThat(http.withinNanos()).isEqualTo(1000 * MILLIS);
        assertThat(((Payload.Http) step("stop", 0)).contentType()).isEqualTo("text/plain; charset=utf-8");
        assertThat(((Payload.Http) step("ask", 0)).body()).isNull();
    }

    @Test
    void readsHowTheJournalIsKept() {
        assertThat(everything.journal().keeping()).isEqualTo(new Keeping(Durability.EACH, 50_000_000L, 2_000_000_000L));
        assertThat(pottery.journal().keeping()).isEqualTo(Keeping.DEFAULT);
    }

    @Test
    void readsWhereTheDeskPageIsShown() {
        DeskSettings desk = Objects.requireNonNull(everything.desk());
        assertThat(desk.address()).isEqualTo(new InetSocketAddress("2001:db8::5", 9780));
        assertThat(desk.names()).containsExactly("desk.example", "desk");
        assertThat(desk.token()).isNotNull();
        assertThat(pottery.desk()).isNull();
    }

    /** Two interfaces of one device, of which one is read as events and the other by its reports. */
    @Test
    void takesADeviceThatSendsInTwoWaysForTwoPedals() throws ConfigException {
        Settings both = ConfigReader.parse("both.yaml", """
                instep: 1
                timecode: { rate: 25 }
                pedals:
                  keys: { match: { usb: "1209:b0b1" }, contacts: { a: KEY_A } }
                  rest: { match: { usb: "1209:b0b1" }, contacts: { b: { usage: "button 3" } } }
                machine: { states: { one: { on: { a.press: { mark: a }, b.press: { mark: b } } } } }
                """, TestKeys.CODES);
        assertThat(both.pedals()).hasSize(2);
    }

    @Test
    void givesUnnamedMessagesTheLineThatTheyStandOn() {
        assertThat(everything.messages())
                .extracting(Message::name)
                .containsExactly("roll", "stop", "ask", "slow", "line 98", "line 148", "line 139");
        assertThat(step("line 139", 0)).isEqualTo(text("IDLE"));
    }

    @Test
    void readsEachKindOfPedal() {
        assertThat(everything.pedals()).hasSize(10);
        PedalSettings.Events floor = (PedalSettings.Events) everything.pedals().get(0);
        assertThat(floor.grab()).isFalse();
        assertThat(floor.match().which()).isEqualTo(2);
        assertThat(floor.keys())
                .containsExactly(
                        new PedalSettings.Key(0, 30), new PedalSettings.Key(1, 48), new PedalSettings.Key(2, 46));
        PedalSettings.Reports box = (PedalSettings.Reports) everything.pedals().get(1);
        assertThat(box.page()).isEqualTo(PedalSettings.ANY_PAGE);
        assertThat(((PedalSettings.Reports) everything.pedals().get(5)).page()).isEqualTo(0xff00);
        assertThat(box.match().usb()).isEqualTo("1209:b0b0");
        assertThat(box.bits())
                .containsExactly(PedalSettings.ReportBits.ofBit(3, 2, 3), PedalSettings.ReportBits.ofBit(4, 2, 4));
        PedalSettings.Performed played =
                (PedalSettings.Performed) everything.pedals().get(2);
        assertThat(played.contacts())
                .containsExactly(new PedalSettings.Named(5, "one"), new PedalSettings.Named(6, "two"));
    }

    @Test
    void readsPortsThatContactsComeTo() {
        PedalSettings.Network osc = (PedalSettings.Network) everything.pedals().get(6);
        assertThat(osc.port().socket()).isEqualTo("udp 192.0.2.5:9100");
        assertThat(osc.port().from())
                .extracting(Prefix::toString)
                .containsExactly(
                        "Prefix[address=/192.0.2.7, bits=32]", "Prefix[address=/2001:db8:0:0:0:0:0:0, bits=32]");
        assertThat(osc.port().silentNanos()).isEqualTo(2_000 * MILLIS);
        assertThat(osc.contacts())
                .containsExactly(
                        NetContact.named(14, "/near"),
                        new NetContact(15, "/foot/far", null, null, new Threshold(0.6, 0.4), null));
        PedalSettings.Network lines =
                (PedalSettings.Network) everything.pedals().get(7);
        assertThat(lines.port().socket()).isEqualTo("tcp 127.0.0.1:9101");
        assertThat(lines.contacts())
                .containsExactly(
                        new NetContact(16, "BELL 1", "BELL 0", null, null, null), NetContact.named(17, "KNOCK"));
        PedalSettings.Network web = (PedalSettings.Network) everything.pedals().get(8);
        assertThat(web.port().carrier()).isEqualTo(NetPort.Carrier.HTTP);
        assertThat(web.port().token()).isNotNull();
        // A message does not bounce.
        assertThat(everything.contacts().get(18).timing())
                .isEqualTo(new Timing(0, 1_000 * MILLIS, 250 * MILLIS, MILLIS));
    }

    @Test
    void laysAContactsOwnThresholdsOverThoseOfAll() {
        assertThat(everything.contacts().get(0).timing())
                .isEqualTo(new Timing(10 * MILLIS, 450 * MILLIS, 250 * MILLIS, MILLIS));
        // Two frames of 29.97: 2 x 1001/30000 s, rounded up to the nanosecond.
        assertThat(everything.contacts().get(1).timing())
                .isEqualTo(new Timing(12 * MILLIS, 66_733_334L, 250 * MILLIS, MILLIS));
        assertThat(everything.contacts().get(8).timing().hold()).isEqualTo(700 * MILLIS);
        assertThat(pottery.contacts().get(0).timing()).isEqualTo(Timing.DEFAULT);
    }

    private Payload step(String message, int step) {
        return everything.messages().stream()
                .filter(m -> m.name().equals(message))
                .findFirst()
                .orElseThrow()
                .steps()
                .get(step)
                .payload();
    }

    private static Payload text(String text) {
        return new Payload.Text(Template.parse(text));
    }
}
