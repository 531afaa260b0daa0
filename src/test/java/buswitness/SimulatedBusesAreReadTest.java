package buswitness;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.FrameReader;
import buswitness.frames.MessageKey;
import buswitness.problem.NoticeLog;
import buswitness.simulate.FrameTruth;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Simulator and decoders, which share no code, agree on buses other than CAN: frame by frame, nothing lost or added. */
class SimulatedBusesAreReadTest {
    @TempDir
    Path temporary;

    private static FrameLog read(Scenario scenario, List<FrameTruth> truth) {
        boolean flexible = scenario.bus().format() == null;
        FrameReader reader = new FrameReader(new FrameReader.Options(flexible ? "can-fd" : scenario.bus().format().name(),
                scenario.bitsPerSecond(), scenario.recorder().tickPicos(), scenario.bus().format(),
                scenario.bus().dataBitsPerSecond()), 0, new NoticeLog(10));
        Simulations.run(scenario, reader, truth::add);
        return reader.finish().frames();
    }

    private Scenario scenario(String text) throws IOException {
        Path file = temporary.resolve("some.scenario.yaml");
        Files.writeString(file, text);
        return Simulations.load(file);
    }

    @ParameterizedTest
    @ValueSource(strings = {"wire-two-translators", "wire-healthy", "lin-healthy", "pulse-two-senders", "pulse-healthy",
        "fd-two-senders", "fd-healthy"})
    void everyFrameOfTheTruthIsInTheLog(String name) {
        List<FrameTruth> truth = new ArrayList<>();
        FrameLog log = read(Simulations.load(Path.of("captures", name + ".scenario.yaml")), truth);
        truth.removeIf(f -> !f.whole());
        List<Integer> whole = new ArrayList<>();
        for (int i = 0; i < log.size(); i++) if (log.isWhole(i)) whole.add(i);
        assertEquals(truth.size(), whole.size());
        for (int i = 0; i < truth.size(); i++) {
            int frame = whole.get(i);
            assertEquals(truth.get(i).startPicos(), log.startPicos(frame), 2e6, "frame " + i);
            assertEquals(truth.get(i).senders().get(0).key(), log.key(frame));
            assertArrayEquals(truth.get(i).senders().get(0).data(), log.data(frame), "frame " + i);
        }
    }

    /**
     * Clock and asymmetry of a CAN FD sender, from its payload at the data rate where it switches and from the whole frame
     * where it does not, are those it was simulated with; stated errors are as large as the misses.
     */
    @ParameterizedTest
    @ValueSource(strings = {"fd", "fd at one rate", "classical"})
    void wireTimingOnCanFd(String frame) throws IOException {
        Scenario scenario = scenario("""
                bus: {coding: can-fd, data rate: 2 Mbit/s}
                rate: 500 kbit/s
                duration: 8 s
                nodes:
                  engine unit:
                    clock: 310 ppm
                    wander: 0 ppm
                    asymmetry: 31 ns
                    sends: {engine data: {id: 0x0D0, length: 8, every: 20.003 ms, frame: FRAME, filler: 0x5A}}
                  door unit: {}
                recorder: {tick: 13 ns}
                """.replace("FRAME", frame));
        FrameLog log = read(scenario, new ArrayList<>());
        double ppm = 0;
        double nanos = 0;
        double ppmSquares = 0;
        double nanosSquares = 0;
        for (int i = 0; i < log.size(); i++) {
            assertEquals(!frame.equals("classical"), log.isFlexible(i));
            assertEquals(frame.equals("fd"), log.switchesRate(i));
            ppm += log.bitPpm(i) / log.size();
            nanos += log.asymmetryNanos(i) / log.size();
            ppmSquares += Math.pow((log.bitPpm(i) - 310) / log.bitPpmError(i), 2) / log.size();
            nanosSquares += Math.pow((log.asymmetryNanos(i) - 31) / log.asymmetryErrorNanos(i), 2) / log.size();
        }
        assertTrue(log.size() > 350, "only " + log.size());
        assertEquals(310, ppm, frame.equals("fd") ? 30 : 15);
        assertEquals(31, nanos, 2);
        assertTrue(Math.sqrt(ppmSquares) < 1.3, "misses of the clock in stated errors: " + Math.sqrt(ppmSquares));
        assertTrue(Math.sqrt(nanosSquares) < 1.3, "misses of the asymmetry in stated errors: " + Math.sqrt(nanosSquares));
    }

    /** Nodes may sample, and so switch, where they like; a tick of a quarter of a payload's bit is enough to read it. */
    @ParameterizedTest
    @ValueSource(doubles = {0.6, 0.7, 0.8, 0.87})
    void whereverNodesSampleAndAtACoarseTick(double samplePoint) {
        Scenario demo = Simulations.load(Path.of("captures/fd-two-senders.scenario.yaml")).withDuration(8);
        for (double tickNanos : new double[] {25, 100, 125}) {
            Scenario scenario = demo.withRecorder(demo.recorder().withTick(1_000 * tickNanos))
                    .onBus(demo.bus().sampledAt(samplePoint));
            List<FrameTruth> truth = new ArrayList<>();
            FrameLog log = read(scenario, truth);
            long whole = truth.stream().filter(FrameTruth::whole).count();
            assertEquals(whole, log.wholeCount(), "at " + tickNanos + " ns");
            assertEquals(truth.size(), log.size(), "at " + tickNanos + " ns");
            assertTrue(truth.size() > whole + 15, "collisions in it");
        }
    }

    /** Broken answers start with the bytes that both sent alike, and end with the superposed one. */
    @Test
    void brokenAnswersShowWhatBothMadeTogether() {
        List<FrameTruth> truth = new ArrayList<>();
        FrameLog log = read(Simulations.load(Path.of("captures/lin-two-answers.scenario.yaml")), truth);
        int broken = 0;
        for (int i = 0, at = 0; i < log.size(); i++) {
            while (truth.get(at).startPicos() < log.startPicos(i) - 2_000_000) at++;
            FrameTruth frame = truth.get(at);
            boolean answered = log.wireBits(i) != null && log.wireBits(i).size() >= 24;
            if (frame.whole() || !answered || log.fault(i) == FrameFault.CUT) continue;
            int both = frame.senders().get(0).data()[0] & frame.senders().get(1).data()[0] & 0xFF;
            assertEquals(both, log.wireBits(i).number(16, 8), "at " + log.startSeconds(i));
            broken++;
        }
        assertTrue(broken > 100, "only " + broken);
    }

    @Test
    void addressAndPatternWakeTheLine() throws IOException {
        String nodes = """
                nodes:
                  tester:
                    wakes: [{%s}]
                    sends: {request: {id: %s, length: 2, at: [3.5 s, 4 s], filler: 0x0C%s}}
                  engine unit: {}
                duration: 5 s
                """;
        FrameLog slow = read(scenario("bus: {coding: iso9141}\n" + nodes.formatted(
                "at: 0.5 s, address: 0x33, answered by: engine unit", "0x686AF1", "")), new ArrayList<>());
        assertEquals(FrameFault.SLOW_INITIALISATION, slow.fault(0));
        assertEquals(2, slow.wholeCount());
        FrameLog fast = read(scenario("bus: {coding: iso14230}\n" + nodes.formatted("at: 0.5 s", "0x33F1",
                ", fields: {mode: 3}")), new ArrayList<>());
        assertEquals(FrameFault.FAST_INITIALISATION, fast.fault(0));
        assertEquals(2, fast.wholeCount());
        assertEquals(0x33F1, MessageKey.identifier(fast.key(1)));
    }

    @Test
    void repliesWithinTheFrame() throws IOException {
        FrameLog pulses = read(scenario("""
                bus: {coding: j1850-vpw}
                duration: 1 s
                nodes:
                  engine unit: {sends: {warmth: {id: 0xA01B40, length: 2, every: 100 ms}}}
                  door unit: {replies: [{to: 0xA01B40, bytes: 0x21}]}
                recorder: {idle level: 0}
                """), new ArrayList<>());
        assertTrue(pulses.wholeCount() >= 9, "only " + pulses.wholeCount());
        assertEquals("21", HexFormat.of().formatHex(pulses.response(0)).substring(0, 2));
        Files.copy(Path.of("captures/cabin-line.layout.yaml"), temporary.resolve("cabin-line.layout.yaml"));
        FrameLog bytes = read(scenario("""
                layout: cabin-line.layout.yaml
                duration: 4 s
                nodes:
                  climate unit: {number: 2, sends: {cabin warmth: {to: 9}}}
                  dashboard: {number: 9, replies: [{to: cabin warmth, bytes: 0x5A}]}
                """), new ArrayList<>());
        assertTrue(bytes.wholeCount() >= 9, "only " + bytes.wholeCount());
        assertEquals(2, bytes.sender(0));
        assertEquals("5a", HexFormat.of().formatHex(bytes.response(0)).substring(0, 2));
    }
}
