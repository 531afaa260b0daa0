package buswitness.bench;

import buswitness.capture.EdgeBlock;
import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import buswitness.frames.Decoded;
import buswitness.frames.FrameReader;
import buswitness.problem.NoticeLog;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OperationsPerInvocation;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/** Level changes to frames, everything included: rate search, glitch filter, sampling, framing, check, wire fit. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Fork(1)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
public class DecodeBench {
    /** Level changes decoded per call: the score is changes per second. */
    static final int CHANGES = 4_000_000;

    /** A coarse tick in step with the bit clock costs a closer look at each frame's errors. */
    @Param({"10", "1000"})
    public int tickNanos;

    private List<EdgeBlock> blocks;
    private long endPicos;

    @Setup
    public void draw() {
        Random random = new Random(1);
        blocks = new ArrayList<>();
        EdgeBlock block = new EdgeBlock();
        double bit = 8_000_000 * (1 + 150e-6);
        double at = 20 * bit;
        int level = 1;
        int drawn = 0;
        long tick = tickNanos * 1000L;
        while (drawn < CHANGES) {
            byte[] data = new byte[8];
            random.nextBytes(data);
            BitString bits = CanFrameBits.stuffed(CanFrameBits.unstuffed(random.nextInt(0x7FF), false, false, 8, data));
            bits.addBits(0b1011111111, 10);
            for (int i = 0; i < bits.size() && drawn < CHANGES; i++, at += bit) {
                if (bits.get(i) == level) continue;
                level = bits.get(i);
                if (block.count == EdgeBlock.CAPACITY) {
                    blocks.add(block);
                    block = new EdgeBlock();
                }
                double shifted = at + (level == 1 ? 60_000 : 0) + 15_000 * random.nextGaussian();
                block.atPicos[block.count] = (long) (shifted / tick) * tick;
                block.level[block.count++] = (byte) level;
                drawn++;
            }
            at += (3 + random.nextInt(100)) * bit;
        }
        blocks.add(block);
        endPicos = (long) at;
    }

    /** Fails where frames are lost, so that a fast wrong decoder does not score. */
    @Benchmark
    @OperationsPerInvocation(CHANGES)
    public Decoded changesToFrames() {
        FrameReader reader = new FrameReader(new FrameReader.Options(null, Double.NaN, tickNanos * 1e3), 0,
                new NoticeLog(10));
        reader.begin(0, 0, 1);
        for (EdgeBlock block : blocks) reader.edges(block);
        reader.end(endPicos);
        Decoded decoded = reader.finish();
        if (decoded.frames().size() - decoded.frames().wholeCount() > 1) throw new IllegalStateException("frames lost");
        return decoded;
    }
}
