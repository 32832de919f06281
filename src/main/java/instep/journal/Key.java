package instep.journal;

/** The names of the fields in a record. */
public final class Key {
    public static final String SEQ = "seq";
    public static final String AT = "at";
    public static final String MONO = "mono";
    public static final String TC = "tc";
    public static final String KIND = "kind";
    public static final String FRAME = "frame";
    public static final String CRC = "crc";

    public static final String ACTIVE = "active";
    public static final String AGE_US = "age_us";
    public static final String AGAIN = "again";
    public static final String ANGLE = "angle";
    public static final String ASKED = "asked";
    public static final String BEGAN = "began";
    public static final String BOOT = "boot";
    public static final String BY = "by";
    public static final String CAUSE = "cause";
    public static final String CHANGE = "change";
    public static final String CHAPTER = "chapter";
    public static final String CLOCK = "clock";
    public static final String CLOSED = "closed";
    public static final String CONFIG = "config";
    public static final String CONTACT = "contact";
    public static final String COUNTS = "counts";
    public static final String DETAIL = "detail";
    public static final String EVENT = "event";
    public static final String FILE = "file";
    public static final String FORMAT = "format";
    public static final String FROM = "from";
    public static final String GAP = "gap";
    public static final String GEAR = "gear";
    public static final String HEEDED = "heeded";
    public static final String JOURNAL = "journal";
    public static final String LASTED = "lasted";
    public static final String LATCHED = "latched";
    public static final String LATENCY_US = "latency_us";
    public static final String LINE = "line";
    public static final String LOST = "lost";
    public static final String MARK = "mark";
    public static final String OF = "of";
    public static final String PEDAL = "pedal";
    public static final String PID = "pid";
    public static final String RATE = "rate";
    public static final String RATE_PPM = "rate_ppm";
    public static final String REPLAYS = "replays";
    public static final String RESUMED = "resumed";
    public static final String RETURNING = "returning";
    public static final String ROLL = "roll";
    public static final String SETTLE_US = "settle_us";
    public static final String SHA256 = "sha256";
    public static final String SILENT = "silent";
    public static final String SOURCE = "source";
    public static final String SPEED = "speed";
    public static final String STATE = "state";
    public static final String TAKE = "take";
    public static final String TEXT = "text";
    public static final String TICKET = "ticket";
    public static final String TIMECODE = "timecode";
    public static final String TO = "to";
    public static final String UNCERTAINTY_US = "uncertainty_us";
    public static final String VALUE = "value";
    public static final String VALUES = "values";
    public static final String VERSION = "version";
    public static final String WALL = "wall";
    public static final String WHAT = "what";
    public static final String WHY = "why";

    private Key() {}
}
