package instep.gear;

import java.util.Map;

/** One device to command: its name and how it is reached. */
public sealed interface GearSettings {
    /** The name in the configuration. */
    String name();

    /** A message that could not be sent within so many nanoseconds is dropped. */
    long staleAfterNanos();

    /** The same gear at another address, as {@code host:port}. */
    GearSettings at(String host, int port);

    /** Where it is, for people: {@code tcp 192.0.2.10:9701}. */
    String address();

    /** Text lines or bytes over TCP. */
    record Tcp(String name, String host, int port, LineEnd lineEnd, long staleAfterNanos) implements GearSettings {
        @Override
        public Tcp at(String newHost, int newPort) {
            return new Tcp(name, newHost, newPort, lineEnd, staleAfterNanos);
        }

        @Override
        public String address() {
            return "tcp " + host + ":" + port;
        }
    }

    /** Open Sound Control 1.0 over UDP. */
    record Osc(String name, String host, int port, long staleAfterNanos) implements GearSettings {
        @Override
        public Osc at(String newHost, int newPort) {
            return new Osc(name, newHost, newPort, staleAfterNanos);
        }

        @Override
        public String address() {
            return "osc udp " + host + ":" + port;
        }
    }

    /**
     * HTTP/1.1.
     *
     * @param basePath what comes before every target, without a closing slash; may be empty
     * @param headers sent with every request
     * @param withinNanos how long a response may take where a request says nothing else
     */
    record Http(
            String name,
            String host,
            int port,
            String basePath,
            Map<String, String> headers,
            long withinNanos,
            long staleAfterNanos)
            implements GearSettings {
        public Http {
            headers = Map.copyOf(headers);
        }

        @Override
        public Http at(String newHost, int newPort) {
            return new Http(name, newHost, newPort, basePath, headers, withinNanos, staleAfterNanos);
        }

        @Override
        public String address() {
            return "http " + host + ":" + port + basePath;
        }
    }

    /** What ends a line of text. */
    enum LineEnd {
        CRLF("crlf", "\r\n"),
        LF("lf", "\n"),
        CR("cr", "\r"),
        NONE("none", "");

        private final String word;
        private final String characters;

        LineEnd(String word, String characters) {
            this.word = word;
            this.characters = characters;
        }

        /** The word in a configuration. */
        public String word() {
            return word;
        }

        /** The characters on the wire. */
        public String characters() {
            return characters;
        }
    }
}
