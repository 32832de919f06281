package instep.gear;

import instep.machine.Values;
import io.netty.buffer.Unpooled;

/** Tones as samples. */
record SoundEncoder() implements Wire.Encoder {
    @Override
    public Wire encode(Payload payload, Values values) {
        if (payload instanceof Payload.Tone tone) {
            return new Wire(Unpooled.wrappedBuffer(Tone.samples(tone)), tone.words());
        }
        throw new IllegalArgumentException("an audio output takes tones, nothing else");
    }
}
