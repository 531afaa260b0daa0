package buswitness.calibrate;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.capture.EdgeSink;
import buswitness.capture.RecordingInfo;
import buswitness.frames.BusInfo;
import buswitness.frames.Decoded;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.problem.Progress;
import buswitness.simulate.FrameTruth;
import buswitness.simulate.Simulations;
import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.w3c.dom.Document;

class CalibrationTest {
    private static final int FEW = 600;
    /** With no hits the bound has the closed form 1 - 0.05^(1/n) (Clopper and Pearson 1934, the case of none). */
    @Test
    void boundWithoutHitsHasItsClosedForm() {
        assertEquals(1 - Math.pow(0.05, 1.0 / 1000), Bound.upper(0, 1000), 1e-10);
        assertTrue(Bound.upper(0, 1000) < 0.003, "the target of 0.3 % can be met by 1,000 buses");
        assertEquals(1 - Math.pow(0.025, 0.1), Bound.high(0, 10), 1e-10);
        assertEquals(0, Bound.low(0, 10));
        assertEquals(1, Bound.high(10, 10));
    }

    /** By definition: at the upper bound so few hits have a chance of 5 %; summed here term by term. */
    @Test
    void boundsAreWhereTheBinomialTailSaysSo() {
        assertEquals(0.05, binomialUpTo(7, 90, Bound.upper(7, 90)), 1e-9);
        assertEquals(0.025, binomialUpTo(3, 40, Bound.high(3, 40)), 1e-9);
        assertEquals(0.025, 1 - binomialUpTo(2, 40, Bound.low(3, 40)), 1e-9);
    }

    private static double binomialUpTo(int most, int n, double p) {
        double sum = 0;
        for (int k = 0; k <= most; k++) {
            double term = Math.pow(p, k) * Math.pow(1 - p, n - k);
            for (int i = 0; i < k; i++) term *= (double) (n - i) / (i + 1);
            sum += term;
        }
        return sum;
    }

    @Test
    void sameTablesWhateverTheThreads() {
        ConcurrentLinkedQueue<String> told = new ConcurrentLinkedQueue<>();
        Calibration.Report one = Calibration.run(new CalibrationPlan(7, 3, 1, FEW, 1e9), Progress.SILENT, told::add);
        Calibration.Report three = Calibration.run(new CalibrationPlan(7, 3, 3, FEW, 1e9), Progress.SILENT, told::add);
        assertEquals(6, one.run());
        assertEquals(one.buses(), three.buses());
        assertEquals(one.rates(), three.rates());
        assertEquals(one.text(), three.text());
        Calibration.Report other = Calibration.run(new CalibrationPlan(8, 3, 2, FEW, 1e9), Progress.SILENT, told::add);
        assertNotEquals(one.buses(), other.buses());
    }

    /**
     * The pictures are well-formed XML, and show the figures of the tables: one accused of two buses lies in the
     * middle, between the bounds that Clopper and Pearson give for one of two.
     */
    @Test
    void picturesShowTheFigures() throws Exception {
        Outcome good = outcome(50_000, List.of());
        Outcome bad = outcome(50_002, List.of("0x123"));
        Map<String, String> plots = RatePlots.of(new Outcome[] {good, bad});
        assertEquals(List.of("detection.svg", "false-accusations.svg", "attribution.svg"), List.copyOf(plots.keySet()));
        for (String svg : plots.values()) {
            Document picture = DocumentBuilderFactory.newInstance().newDocumentBuilder()
                    .parse(new ByteArrayInputStream(svg.getBytes(StandardCharsets.UTF_8)));
            assertEquals("svg", picture.getDocumentElement().getTagName());
        }
        String accused = plots.get("false-accusations.svg");
        double left = 430;
        double right = 756;
        String middle = String.format(Locale.ROOT, "M%.1f", left + (right - left) / 2);
        assertTrue(accused.contains(middle), "a mark half way at " + middle);
        String low = String.format(Locale.ROOT, "x1=\"%.1f\"", left + (right - left) * (1 - Math.sqrt(1 - 0.025)));
        assertTrue(accused.contains(low), "the bar begins at " + low);
    }

    private static Outcome outcome(long seed, List<String> accused) {
        return new Outcome(seed, RandomBus.of(seed, FEW), 0.3, 100, 0, 5, accused, !accused.isEmpty(), 0, List.of(), null);
    }

    /** The labels of the truth: on even seeds no two nodes send one message at a time, on odd ones two do. */
    @Test
    void seedsKeepTheirPromise() {
        Set<Confounder> seen = EnumSet.noneOf(Confounder.class);
        int both = 0;
        int clashes = 0;
        for (long seed = 40_000; seed < 40_060; seed++) {
            RandomBus bus = RandomBus.of(seed, FEW);
            if (!RandomBus.isClash(seed)) seen.addAll(bus.confounders());
            Map<Long, Set<String>> senders = new HashMap<>();
            Map<String, Long> last = new HashMap<>();
            Map<String, Long> first = new HashMap<>();
            Simulations.run(bus.scenario(), EdgeSink.NOBODY, frame -> {
                for (FrameTruth.Sender sender : frame.senders()) {
                    if (sender.remote()) continue;
                    senders.computeIfAbsent(sender.key(), k -> new HashSet<>()).add(sender.node());
                    first.putIfAbsent(sender.node(), frame.startPicos());
                    last.put(sender.node(), frame.startPicos());
                }
            });
            Set<Long> known = new HashSet<>();
            for (RandomBus.Clash clash : bus.clashes()) {
                known.add(clash.key());
                clashes++;
                if (senders.getOrDefault(clash.key(), Set.of()).size() == 2) both++;
            }
            assertEquals(RandomBus.isClash(seed), !known.isEmpty());
            for (Map.Entry<Long, Set<String>> entry : senders.entrySet()) {
                if (known.contains(entry.getKey()) || entry.getValue().size() == 1) continue;
                assertTrue(bus.confounders().contains(Confounder.REPLACED), "seed " + seed);
                String old = entry.getValue().stream().filter(n -> !n.endsWith("spare")).findFirst().orElseThrow();
                assertTrue(last.get(old) < first.get(old + " spare"), "seed " + seed + ": both at once");
            }
        }
        assertTrue(both >= 0.8 * clashes, both + " of " + clashes + " clashes show frames of both");
        assertTrue(seen.size() > 25, "thirty buses show " + seen.size() + " kinds of confounder");
    }

    /** A release that takes the place of a frame just about to start: the simulator once failed on this bus. */
    @Test
    void busWithTwoReleasesInAQuarterBitRuns() {
        assertNull(Trial.run(2_000_065, 8000).failure());
    }

    @Test
    void nearestTrueFrameIsFound() {
        TruthLog truth = new TruthLog(List.of("a", "b"), Set.of(5L));
        for (long at : new long[] {100, 200, 300}) {
            truth.frame(new FrameTruth(at, at + 50, true, List.of(new FrameTruth.Sender(at == 200 ? "b" : "a", 5, false,
                    new byte[] {1}, at, true, 0, -1, 0))));
        }
        assertEquals(1, truth.at(205, 10));
        assertEquals(-1, truth.at(250, 10));
        assertEquals(2, truth.at(300, 0));
        assertArrayEquals(new double[] {200e-12}, Separation.starts(truth, 5, 1));
    }

    @Test
    void windowStartsAtZeroAndKeepsWhatLiesInIt() {
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        for (int i = 0; i < 10; i++) {
            row.clear();
            row.key = MessageKey.can(0x100 + i, false);
            row.startPicos = i * 1_000_000L;
            row.endPicos = row.startPicos + 200_000;
            row.lengthCode = row.dataLength = 1;
            row.data[0] = (byte) i;
            log.add(row);
        }
        BusInfo bus = new BusInfo("can", 500e3, 1, true, 1, 0.2, 0, 0, false, 10_000_000);
        AnalysisReading whole = new AnalysisReading(new RecordingInfo("x", "table", "", 1, List.of(), List.of()), "", null,
                false, new Decoded(bus, log, List.of(new Gap(2_500_000, 3_500_000, "test"))), List.of(), 0);
        Decoded part = CleanTraffic.window(whole, 3_000_000, 6_000_000).decoded();
        assertEquals(3, part.frames().size());
        assertEquals(0, part.frames().startPicos(0));
        assertEquals(3, part.frames().dataByte(0, 0));
        assertEquals(2_200_000, part.frames().endPicos(2));
        assertEquals(List.of(new Gap(0, 500_000, "test")), part.gaps());
        assertEquals(3_000_000, part.bus().durationPicos());
        assertEquals(3, Analysis.judge(CleanTraffic.window(whole, 3_000_000, 6_000_000), Progress.SILENT).frames().size());
    }

    /**
     * Innocent messages that earlier detectors accused: an input's rhythm, one comb in pieces, two mailboxes, asymmetry
     * and bit length in steps of the tick, a line that rings, a page on a loop of its own, a drift of few frames.
     */
    @ParameterizedTest
    @CsvSource({"3000148, 12000", "3000166, 12000", "5000001, 8000", "6000340, 8000", "7000032, 8000",
        "32000162, 4000", "32000236, 4000", "8000328, 8000", "8000440, 8000", "12000192, 8000",
        "13001044, 8000", "14000958, 8000", "14001002, 8000", "15000904, 8000", "15000731, 8000", "15000826, 8000",
        "15000311, 8000", "32000132, 4000", "46000420, 8000", "44000366, 8000"})
    void onceAccusedIsInnocent(long seed, int mostFrames) {
        Calibration.Single single = Calibration.only(seed, mostFrames);
        assertFalse(single.accusedWrongly(), single.text());
    }

    @Test
    void oneBusIsToldAtLength() {
        Calibration.Single single = Calibration.only(40_001, FEW);
        assertTrue(single.text().contains("a second sender"), single.text());
        assertTrue(single.text().contains("separation in standard errors"), single.text());
    }
}
