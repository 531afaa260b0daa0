package buswitness.simulate;

import buswitness.schema.Signal;
import java.util.Arrays;
import java.util.List;

/** Writes the payload of one message of one node. */
final class PayloadMaker {
    private final Sending sending;
    private final List<Field> fields;
    private final ValueTrack[] tracks;
    private final int bytes;

    PayloadMaker(Sending sending, long seed, String node) {
        this.sending = sending;
        fields = sending.fields();
        bytes = sending.remote() ? 0 : sending.length();
        tracks = new ValueTrack[fields.size()];
        for (int i = 0; i < tracks.length; i++) {
            tracks[i] = new ValueTrack(fields.get(i).source(),
                    Streams.of(seed, node, "value", Long.toHexString(sending.key()), Integer.toString(i)));
        }
    }

    /**
     * @param startingUp start-up values are shown
     * @param frame      number of the frame; -1 for a look at the values alone, without what follows the frames
     */
    byte[] at(double atSeconds, boolean startingUp, long frame) {
        byte[] data = new byte[bytes];
        if (sending.filler() != 0) Arrays.fill(data, (byte) sending.filler());
        boolean pages = false;
        boolean checks = false;
        for (int i = 0; i < tracks.length; i++) {
            Field field = fields.get(i);
            if (field.source() instanceof ValueSource.Check) {
                checks = true;
                write(data, field.signal(), 0);
            } else if (field.signal().page() != null) {
                pages = true;
            } else if (frame >= 0 || !ValueTrack.followsFrames(field.source())) {
                put(data, i, atSeconds, startingUp, frame);
            }
        }
        if (pages) pages(data, atSeconds, startingUp, frame);
        if (checks && frame >= 0) checks(data);
        return data;
    }

    private void pages(byte[] data, double at, boolean startingUp, long frame) {
        for (int i = 0; i < tracks.length; i++) {
            Signal.Page page = fields.get(i).signal().page();
            if (page == null) continue;
            Signal selector = new Signal("", page.firstBit(), page.width(), false, false, 1, 0, "", Double.NaN, null);
            if (frame < 0 || selector.raw(data) == page.value()) put(data, i, at, startingUp, frame);
        }
    }

    private void checks(byte[] data) {
        for (Field field : fields) {
            if (!(field.source() instanceof ValueSource.Check check)) continue;
            int result = check.start();
            for (byte b : data) result = check.sum() ? result + (b & 0xFF) : result ^ b & 0xFF;
            write(data, field.signal(), result & 0xFF);
        }
    }

    private void put(byte[] data, int i, double at, boolean startingUp, long frame) {
        Field field = fields.get(i);
        // Asked either way, so that a restart does not shift the random numbers that follow.
        double value = tracks[i].at(at, Math.max(frame, 0));
        if (startingUp && !Double.isNaN(field.startValue())) value = field.startValue();
        write(data, field.signal(), rawOf(field.signal(), value));
    }

    /** The nearest whole number the field can hold. */
    static long rawOf(Signal signal, double value) {
        double raw = Math.rint((value - signal.offset()) / signal.factor());
        int width = signal.width();
        if (width == 64) return (long) raw;
        long low = signal.signed() ? -(1L << width - 1) : 0;
        long high = signal.signed() ? (1L << width - 1) - 1 : (1L << width) - 1;
        return (long) Math.max(low, Math.min(high, raw));
    }

    /** Puts the low bits of {@code raw} where the signal has them; the inverse of {@link Signal#raw}. */
    static void write(byte[] data, Signal signal, long raw) {
        int width = signal.width();
        long bits = signal.lowByteFirst() ? Long.reverseBytes(raw << 64 - width) : raw;
        for (int k = 0; k < width; k++) {
            int at = signal.firstBit() + width - 1 - k;
            int mask = 0x80 >> (at & 7);
            if ((bits >>> k & 1) != 0) data[at >> 3] |= (byte) mask;
            else data[at >> 3] &= (byte) ~mask;
        }
    }
}
