package buswitness.bench;

import buswitness.frames.FrameReader;
import buswitness.problem.NoticeLog;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/** Level changes to frames: how long a recording of 20 000 frames takes to decode, with and without a given rate. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(1)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
public class FrameReaderBench {
    private static final int FRAMES = 20_000;
    private static final double BITS_PER_SECOND = 500_000;

    /** Recorder's tick in picoseconds: fine, and one that is a twentieth of a bit. */
    @Param({"10000", "100000"})
    public long tickPicos;

    /** Whether the rate is given or found. */
    @Param({"true", "false"})
    public boolean rateGiven;

    private BusyWire wire;

    @Setup
    public void make() {
        wire = BusyWire.make(FRAMES, BITS_PER_SECOND, 0.6, tickPicos, 7);
        int whole = decode();
        if (whole != FRAMES) throw new IllegalStateException("decoded " + whole + " of " + FRAMES + " frames");
    }

    @Benchmark
    public int decode() {
        double rate = rateGiven ? BITS_PER_SECOND : Double.NaN;
        FrameReader reader = new FrameReader(new FrameReader.Options("can", rate), 0, new NoticeLog(10));
        wire.feed(reader);
        return reader.finish().frames().wholeCount();
    }
}
