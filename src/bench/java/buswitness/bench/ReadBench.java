package buswitness.bench;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recording;
import buswitness.capture.RecordingInfo;
import buswitness.capture.RecordingWriter;
import buswitness.capture.Recordings;
import buswitness.problem.Progress;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.zip.GZIPOutputStream;
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
import org.openjdk.jmh.annotations.TearDown;
import org.openjdk.jmh.annotations.Warmup;

/** Stored bytes to level changes: time per change for each form, the sum of the bytes included. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.NANOSECONDS)
@Fork(1)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
public class ReadBench {
    private static final int CHANGES = 2_000_000;

    @Param({"log", "compact", "VCD", "CSV"})
    public String form;

    /** A whole number of picoseconds a tick, and the fraction of a 72 MHz counter. */
    @Param({"1000000", "13888.88888888889"})
    public double tickPicos;

    @Param({"false", "true"})
    public boolean gzip;

    private Path file;

    @Setup
    public void make() throws IOException {
        file = Files.createTempFile("buswitness-bench", ".recording");
        RecordingInfo info = new RecordingInfo("", "", "", tickPicos, List.of("bus"), List.of());
        try (OutputStream plain = Files.newOutputStream(file);
                OutputStream out = gzip ? new GZIPOutputStream(plain, 1 << 16) : plain;
                RecordingWriter to = writer(out, info)) {
            EdgeBlock block = new EdgeBlock();
            to.begin(0, 0, 1);
            long tick = 1000;
            for (int i = 0; i < CHANGES; i++) {
                tick += 8 + (i * 7919L % 5) * 8 + (i % 80 == 0 ? 1500 : 0);
                block.atPicos[block.count] = Math.round(tick * tickPicos);
                block.level[block.count++] = (byte) (i & 1);
                if (block.count == EdgeBlock.CAPACITY || i == CHANGES - 1) {
                    to.edges(block);
                    block.count = 0;
                }
            }
            to.end(Math.round((tick + 1000) * tickPicos));
        }
        if (readOnce() != CHANGES) throw new IllegalStateException("wrong recording");
    }

    private RecordingWriter writer(OutputStream out, RecordingInfo info) {
        return switch (form) {
            case "log" -> Recordings.writeLog(out, info);
            case "compact" -> Recordings.writeCompact(out, info);
            case "VCD" -> Recordings.writeVcd(out, info);
            default -> Recordings.writeCsv(out, info);
        };
    }

    @TearDown
    public void remove() throws IOException {
        Files.delete(file);
    }

    @Benchmark
    @OperationsPerInvocation(CHANGES)
    public long readOnce() {
        Recording recording = Recordings.open(file, ReadOptions.NONE);
        Counter counter = new Counter();
        recording.read(counter, Progress.SILENT);
        return counter.changes;
    }

    /** Counts, and looks at every time so that none can be left unread. */
    private static final class Counter implements EdgeSink {
        private long changes;
        private long last;

        @Override
        public void begin(int line, long atPicos, int level) {}

        @Override
        public void edges(EdgeBlock block) {
            for (int i = 0; i < block.count; i++) {
                if (block.atPicos[i] > last) changes++;
                last = block.atPicos[i];
            }
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {}

        @Override
        public void end(long atPicos) {}
    }
}
