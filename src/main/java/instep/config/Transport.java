package instep.config;

import java.util.Arrays;
import java.util.List;

/** The ways in which gear is spoken to, as the configuration names them. */
enum Transport {
    TCP("tcp", Speech.TEXT),
    TLS("tls", Speech.TEXT),
    UDP("udp", Speech.TEXT),
    OSC("osc", Speech.OSC),
    HTTP("http", Speech.REQUESTS),
    WS("ws", Speech.TEXT),
    SERIAL("serial", Speech.TEXT),
    SOUND("sound", Speech.TONES),
    LED("led", Speech.BYTES);

    /** What gear can be told. */
    enum Speech {
        TEXT("a line of text, { text: … }, { json: … } or { hex: … }"),
        BYTES("{ hex: … }"),
        OSC("{ osc: /address, args: [ … ] } or { bundle: [ … ] }"),
        REQUESTS("{ put: /target, json: … } or another request"),
        TONES("{ tone: 1000 } with its pitch in hertz");

        private final String form;

        Speech(String form) {
            this.form = form;
        }

        /** How a payload of it is written. */
        String form() {
            return form;
        }
    }

    private final String word;
    private final Speech speech;

    Transport(String word, Speech speech) {
        this.word = word;
        this.speech = speech;
    }

    static List<String> words() {
        return Arrays.stream(values()).map(Transport::word).toList();
    }

    String word() {
        return word;
    }

    Speech speech() {
        return speech;
    }
}
