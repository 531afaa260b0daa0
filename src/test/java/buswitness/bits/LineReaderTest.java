package buswitness.bits;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Bits as levels written out by hand, against the runs that come back. */
class LineReaderTest {
    private static final long BIT = 8_000_000;

    /** Collects runs as text: level times length, a break as a bar. */
    private static final class Runs implements BitRunSink {
        private final StringBuilder text = new StringBuilder();
        private final List<Long> edges = new ArrayList<>();
        private LineFinding finding;

        @Override
        public void found(LineFinding found) {
            finding = found;
        }

        @Override
        public void begin(long atPicos) {
            text.append("[ ");
        }

        @Override
        public void runs(BitRuns block) {
            for (int i = 0; i < block.count; i++) {
                text.append(block.level[i] == 0 ? 'd' : 'r').append(block.bits[i]).append(' ');
                edges.add(block.edgePicos[i]);
            }
        }

        @Override
        public void stop(long atPicos) {
            text.append("] ");
        }
    }

    private static Runs read(double rate, long end, long... changes) {
        Runs runs = new Runs();
        LineReader reader = new LineReader(new LineReader.Options("nrz", rate, Double.NaN), runs);
        reader.begin(0, 1);
        EdgeBlock block = new EdgeBlock();
        for (int i = 0; i < changes.length; i++) {
            block.atPicos[i] = changes[i];
            block.level[i] = (byte) (i & 1);
        }
        block.count = changes.length;
        reader.edges(block);
        reader.stop(end);
        reader.end();
        return runs;
    }

    private static long[] inBits(double... at) {
        long[] picos = new long[at.length];
        for (int i = 0; i < at.length; i++) picos[i] = Math.round(at[i] * BIT);
        return picos;
    }

    @Test
    void runsOfBits() {
        Runs runs = read(125_000, 60 * BIT, inBits(20, 21, 23, 26, 30, 35));
        assertEquals("[ r20 d1 r2 d3 r4 d5 r25 ] ", runs.text.toString());
        assertEquals(20 * BIT, runs.edges.get(1));
        assertEquals(1, runs.finding.idleLevel());
    }

    /** The sample lies at three quarters of the bit: a dominant bit may be short by nearly as much, and late. */
    @Test
    void samplePoint() {
        assertEquals("[ r20 d1 r2 d1 r20 ] ", read(125_000, 44 * BIT, inBits(20, 20.76, 23, 24)).text.toString());
        assertEquals("[ r20 d1 r1 d1 r21 ] ", read(125_000, 44 * BIT, inBits(20, 21.7, 22, 23)).text.toString());
        // Less than three quarters of a bit was never sampled: the silence goes on.
        assertEquals("[ r44 ] ", read(125_000, 44 * BIT, inBits(20, 20.5)).text.toString());
    }

    /** Two percent off for many bits: only the steps at each edge keep the clock in place. */
    @Test
    void clockFollowsTheSender() {
        for (double bit : new double[] {0.98, 1.02}) {
            double[] at = new double[40];
            double t = 20;
            for (int i = 0; i < at.length; i++) {
                at[i] = t;
                t += bit * (1 + i % 5);
            }
            StringBuilder expected = new StringBuilder();
            for (int i = 0; i + 1 < at.length; i++) {
                expected.append(i % 2 == 0 ? 'd' : 'r').append(1 + i % 5).append(' ');
            }
            Runs runs = read(125_000, Math.round((at[39] + 30) * BIT), inBits(at));
            String sent = runs.text.substring(runs.text.indexOf("d"));
            assertTrue(sent.startsWith(expected.toString()), bit + ": " + sent);
        }
    }

    /** What usual rates are, and how near is near enough: 1.5 %. */
    @ParameterizedTest
    @CsvSource({"125000, 125000", "125700, 125000", "124400, 125000", "127500, 127500", "33100, 33333.333333333336",
        "83700, 83333.33333333333", "991000, 1000000", "300000, 300000", "10050, 10000", "10390, 10400"})
    void usualRates(double measured, double nominal) {
        assertEquals(nominal, RateFinder.snap(measured), nominal * 1e-12);
    }

    /** Squares of one bit each say nothing but the rate; silence tells the polarity. */
    @ParameterizedTest
    @CsvSource({"0", "1"})
    void alternatingBits(int rest) {
        Runs runs = new Runs();
        LineReader reader = new LineReader(new LineReader.Options(null, Double.NaN, Double.NaN), runs);
        reader.begin(0, rest);
        EdgeBlock block = new EdgeBlock();
        for (int i = 0; i < 80; i++) {
            block.atPicos[i] = (100 + i) * BIT;
            block.level[i] = (byte) (i % 2 == 0 ? 1 - rest : rest);
        }
        block.count = 80;
        reader.edges(block);
        reader.stop(400 * BIT);
        reader.end();
        assertEquals(125_000, runs.finding.bitsPerSecond());
        assertEquals(rest, runs.finding.idleLevel());
        assertEquals(8_000_000, runs.finding.tickPicos(), "the common divisor of all times");
    }
}
