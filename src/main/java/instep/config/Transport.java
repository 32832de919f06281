package instep.config;

/** The ways in which gear is spoken to, as the configuration names them. */
enum Transport {
    TCP("tcp", "a line of text, { text: … } or { hex: … }"),
    OSC("osc", "{ osc: /address, args: [ … ] }"),
    HTTP("http", "{ put: /target, json: … } or another request");

    private final String word;
    private final String form;

    Transport(String word, String form) {
        this.word = word;
        this.form = form;
    }

    String word() {
        return word;
    }

    /** How a payload for it is written. */
    String form() {
        return form;
    }
}
