package buswitness.frames;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.problem.NoticeLog;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;

/**
 * Draws a line bit by bit for tests: rate, clock error, asymmetry, tick, noise and polarity. Knows nothing of frames
 * beyond {@link CanFrameBits} and the fixed tail, so that frames written as explicit bits need no other code.
 */
final class WireSketch {
    static final String TAIL = "1011111111";
    static final String INTERMISSION = "111";

    private final double bitPicos;
    private double senderBitPicos;
    private double asymmetryPicos;
    private double jitterPicos;
    private double ringing;
    private double tickPicos = 1;
    private boolean inverted;
    private final Random random;

    private double nowPicos;
    private int level = 1;
    private final List<double[]> edges = new ArrayList<>();

    WireSketch(double bitsPerSecond, long seed) {
        bitPicos = senderBitPicos = 1e12 / bitsPerSecond;
        random = new Random(seed);
    }

    WireSketch tick(double picos) {
        tickPicos = picos;
        return this;
    }

    WireSketch inverted(boolean on) {
        inverted = on;
        return this;
    }

    /** Clock of whoever sends from here on, parts per million slower than nominal, and its dominant lengthening. */
    WireSketch sender(double ppm, double asymmetry) {
        senderBitPicos = bitPicos * (1 + ppm * 1e-6);
        asymmetryPicos = asymmetry;
        return this;
    }

    WireSketch jitter(double picos) {
        jitterPicos = picos;
        return this;
    }

    /** Chance that an edge rings: a few runs of up to a fifth of a bit after it. */
    WireSketch ringing(double chance) {
        ringing = chance;
        return this;
    }

    double nowPicos() {
        return nowPicos;
    }

    double bitPicos() {
        return bitPicos;
    }

    /** Sends bits as they stand. Returns the instant at which they begin, before the recorder's tick. */
    double send(String bits) {
        double from = nowPicos;
        double at = from;
        for (int i = 0; i < bits.length(); i++) {
            char c = bits.charAt(i);
            if (c != '0' && c != '1') continue;
            change(c - '0', at);
            at += senderBitPicos;
        }
        nowPicos = at;
        return from;
    }

    double send(BitString bits) {
        return send(bits.toString());
    }

    /** A whole acknowledged frame with its intermission. */
    double frame(int identifier, boolean extended, boolean remote, int code, byte[] data) {
        double from = send(CanFrameBits.stuffed(CanFrameBits.unstuffed(identifier, extended, remote, code, data)));
        send(TAIL + INTERMISSION);
        return from;
    }

    double frame(int identifier, byte... data) {
        return frame(identifier, false, false, data.length, data);
    }

    WireSketch idle(double bits) {
        change(1, nowPicos);
        nowPicos += bits * bitPicos;
        return this;
    }

    private void change(int to, double at) {
        if (to == level) return;
        level = to;
        double shifted = at + (to == 1 ? asymmetryPicos : 0) + jitterPicos * random.nextGaussian();
        put(shifted, to);
        if (random.nextDouble() >= ringing) return;
        double t = shifted;
        int pairs = 1 + random.nextInt(2);
        for (int i = 0; i < pairs; i++) {
            t += bitPicos * (0.02 + 0.04 * random.nextDouble());
            put(t, 1 - to);
            t += bitPicos * (0.02 + 0.04 * random.nextDouble());
            put(t, to);
        }
    }

    private void put(double at, int to) {
        edges.add(new double[] {at, to});
    }

    /** The recording: instants on the tick, levels in the recorder's polarity; runs shorter than a tick vanish. */
    Recorded record() {
        long[] at = new long[edges.size()];
        byte[] levels = new byte[edges.size()];
        int n = 0;
        for (double[] edge : edges) {
            long time = Math.round(Math.floor(edge[0] / tickPicos) * tickPicos);
            byte to = (byte) (inverted ? 1 - (int) edge[1] : (int) edge[1]);
            if (n > 0 && time <= at[n - 1]) {
                n--;
                continue;
            }
            at[n] = time;
            levels[n++] = to;
        }
        return new Recorded(java.util.Arrays.copyOf(at, n), java.util.Arrays.copyOf(levels, n), inverted ? 0 : 1,
                Math.round(nowPicos));
    }

    /** A recording in memory that can be fed in pieces of any size. */
    record Recorded(long[] atPicos, byte[] level, int firstLevel, long endPicos) {
        void feed(EdgeSink sink, int atOnce) {
            feed(sink, atOnce, 0, endPicos);
        }

        /** The part between two instants, as a recorder would have it that was switched on and off there. */
        void feed(EdgeSink sink, int atOnce, long fromPicos, long untilPicos) {
            int first = firstLevel;
            int i = 0;
            while (i < atPicos.length && atPicos[i] <= fromPicos) first = level[i++];
            sink.begin(0, fromPicos, first);
            EdgeBlock block = new EdgeBlock();
            while (i < atPicos.length && atPicos[i] < untilPicos) {
                block.atPicos[block.count] = atPicos[i];
                block.level[block.count++] = level[i++];
                if (block.count == atOnce) {
                    sink.edges(block);
                    block.count = 0;
                }
            }
            if (block.count > 0) sink.edges(block);
            sink.end(untilPicos);
        }

        Decoded decode(FrameReader.Options options) {
            FrameReader reader = new FrameReader(options, 0, new NoticeLog(10));
            feed(reader, EdgeBlock.CAPACITY);
            return reader.finish();
        }

        Decoded decode() {
            return decode(new FrameReader.Options(null, Double.NaN));
        }

        Decoded decodeAt(double bitsPerSecond) {
            return decode(new FrameReader.Options("can", bitsPerSecond));
        }
    }

    static byte[] bytes(String hex) {
        return java.util.HexFormat.of().parseHex(hex);
    }
}
