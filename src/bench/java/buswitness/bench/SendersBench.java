package buswitness.bench;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.AnalysisReading;
import buswitness.problem.Progress;
import buswitness.senders.SenderFindings;
import buswitness.senders.Senders;
import java.nio.file.Path;
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

/** Decoded frames to schedules and clocks: what one recording's separation takes. Run in the project's folder. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(1)
@Warmup(iterations = 5, time = 2)
@Measurement(iterations = 5, time = 2)
public class SendersBench {
    @Param({"captures/two-translators.bwl.gz", "captures/head-on.bwl.gz", "captures/healthy.bwl.gz"})
    public String recording;

    private AnalysisReading reading;

    @Setup
    public void read() {
        reading = Analysis.read(AnalysisOptions.of(Path.of(recording)), Progress.SILENT);
    }

    /** Fails where a message lost all its schedules, so that a fast wrong separation does not score. */
    @Benchmark
    public SenderFindings framesToSenders() {
        SenderFindings found = Senders.find(reading.decoded().frames(), reading.decoded().bus(),
                reading.decoded().gaps(), reading.layout());
        if (found.tracks().size() < found.timings().size()) throw new IllegalStateException("schedules lost");
        return found;
    }
}
