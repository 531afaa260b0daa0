package buswitness.bench;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/**
 * Level changes of an invented CAN bus, made once and fed as often as wanted. Frames of eight random bytes follow one
 * another with random idle between them, acknowledged, on a recorder with a tick.
 */
final class BusyWire {
    private static final int ACKNOWLEDGE_TO_END = 10;
    private static final int IDENTIFIERS = 40;

    private final List<EdgeBlock> blocks = new ArrayList<>();
    private final double bitPicos;
    private final long tickPicos;
    private EdgeBlock block = new EdgeBlock();
    private int level = 1;
    private double atPicos;
    private long edges;

    private BusyWire(double bitsPerSecond, long tickPicos) {
        bitPicos = 1e12 / bitsPerSecond;
        this.tickPicos = tickPicos;
    }

    /**
     * @param load  share of time that frames take, greater than 0 and less than 1
     * @param tickPicos the recorder's tick
     */
    static BusyWire make(int frames, double bitsPerSecond, double load, long tickPicos, long seed) {
        BusyWire wire = new BusyWire(bitsPerSecond, tickPicos);
        SplittableRandom random = new SplittableRandom(seed);
        byte[] data = new byte[8];
        wire.atPicos = 20 * wire.bitPicos;
        for (int i = 0; i < frames; i++) {
            random.nextBytes(data);
            int identifier = 0x100 + random.nextInt(IDENTIFIERS) * 8;
            BitString bits = CanFrameBits.stuffed(CanFrameBits.unstuffed(identifier, false, false, 8, data));
            for (int k = 0; k < bits.size(); k++) wire.bit(bits.get(k));
            wire.bit(1);
            wire.bit(0);
            wire.bit(1);
            double frameBits = bits.size() + 3 + ACKNOWLEDGE_TO_END;
            double idleBits = ACKNOWLEDGE_TO_END + frameBits * (1 / load - 1) * 2 * random.nextDouble();
            wire.atPicos += idleBits * wire.bitPicos;
        }
        wire.atPicos += 20 * wire.bitPicos;
        if (wire.block.count > 0) wire.blocks.add(wire.block);
        return wire;
    }

    private void bit(int value) {
        if (value != level) {
            level = value;
            block.atPicos[block.count] = Math.round(atPicos / tickPicos) * tickPicos;
            block.level[block.count] = (byte) value;
            edges++;
            if (++block.count == EdgeBlock.CAPACITY) {
                blocks.add(block);
                block = new EdgeBlock();
            }
        }
        atPicos += bitPicos;
    }

    long edges() {
        return edges;
    }

    /** The whole recording, line 0. */
    void feed(EdgeSink sink) {
        sink.begin(0, 0, 1);
        for (EdgeBlock full : blocks) sink.edges(full);
        sink.end((long) atPicos);
    }
}
