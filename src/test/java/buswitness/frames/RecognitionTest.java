package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.NoticeLog;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Which bus a recording is, from its edges alone: all built-in buses, ticks, polarities, short recordings, bad clocks. */
class RecognitionTest {
    static List<String> builtIn() {
        return List.of("can", "lin", "j1850-vpw", "j1850-pwm", "iso9141", "iso14230");
    }

    private static double[] ticks(String bus) {
        return switch (bus) {
            case "j1850-pwm" -> new double[] {0.01, 0.1, 1};
            case "can" -> new double[] {0.01, 0.1, 1, 2};
            default -> new double[] {0.01, 0.1, 1, 2, 10};
        };
    }

    @ParameterizedTest
    @MethodSource("builtIn")
    void everyBusAtEveryTickInBothPolarities(String bus) {
        for (double tick : ticks(bus)) {
            for (boolean inverted : new boolean[] {false, true}) {
                // Polarity and tick are told apart from how little there is: both together at the middle tick only.
                boolean few = !inverted || tick == 1;
                for (int frames : few ? new int[] {1, 40} : new int[] {40}) {
                    FormatSketch line = BusSamples.traffic(bus, frames, 7 * frames);
                    Decoded d = line.record(tick, inverted).decode();
                    String what = bus + ", tick " + tick + ", inverted " + inverted + ", frames " + frames + ": " + d.bus();
                    assertEquals(bus, d.bus().coding(), what);
                    assertEquals(frames, d.frames().wholeCount(), what);
                    assertEquals(inverted ? 0 : 1, d.bus().idleLevel(), what);
                    assertFalse(d.bus().recognition().given(), what);
                    assertTrue(d.bus().recognition().explained() > 0.9, what);
                    if (frames == 40) {
                        assertTrue(d.bus().recognition().confidence() > 0.99, what);
                        assertEquals(BusSamples.rate(bus), d.bus().bitsPerSecond(), 0.002 * BusSamples.rate(bus), what);
                    }
                }
            }
        }
    }

    /** Clocks of a percent, asymmetric edges, jitter of a fiftieth of a bit. */
    @ParameterizedTest
    @MethodSource("builtIn")
    void roughSenders(String bus) {
        double worst = bus.equals("can") ? 4_000 : 12_000;
        for (double ppm : new double[] {-worst, worst}) {
            for (double share : new double[] {-0.08, 0.08}) {
                FormatSketch clean = BusSamples.sketch(bus).sender(ppm, 0);
                clean.asymmetryMicros = share * clean.shortestMicros();
                Random random = new Random(3);
                clean.idle(2 * clean.restMicros());
                for (int i = 0; i < 40; i++) {
                    clean.frame(BusSamples.values(bus, random), BusSamples.data(bus, random));
                    clean.idle(clean.restMicros() * (1 + random.nextDouble()));
                }
                Decoded d = clean.record(0.1, false, 0.02 * clean.shortestMicros(), 4).decode();
                String what = bus + " " + ppm + " " + share + ": " + d.bus();
                assertEquals(bus, d.bus().coding(), what);
                assertEquals(40, d.frames().wholeCount(), what + DecoderContractTest.rows(d.frames()));
            }
        }
    }

    /** Frames damaged so often that few are whole: still the same bus. */
    @ParameterizedTest
    @MethodSource("builtIn")
    void mostFramesDamaged(String bus) {
        FormatSketch line = BusSamples.traffic(bus, 60, 2);
        Random random = new Random(5);
        FormatSketch bad = line;
        for (int i = 0; i < 60; i++) {
            if (i % 6 == 0) continue;
            FormatSketch.Sent s = line.sent.get(i);
            double at = s.startMicros() + (0.4 + 0.3 * random.nextDouble()) * (s.endMicros() - s.startMicros());
            bad = bad.turned(at, at + 1.5 * line.shortestMicros());
        }
        Decoded d = bad.record(0.1, false).decode();
        assertEquals(bus, d.bus().coding(), d.bus().toString());
    }

    /** A told coding stands, and one that explains little is called doubtful with what would fit better. */
    @Test
    void aToldCodingStandsAndAWrongOneShows() {
        WireSketch.Recorded lin = BusSamples.traffic("lin", 30, 8).record(1, false);
        NoticeLog notices = new NoticeLog(10);
        FrameReader reader = new FrameReader(new FrameReader.Options("j1850-vpw", Double.NaN), 0, notices);
        lin.feed(reader, 100);
        Decoded d = reader.finish();
        assertEquals("j1850-vpw", d.bus().coding());
        assertTrue(d.bus().recognition().given());
        assertEquals("lin", d.bus().recognition().runnerUp());
        assertTrue(d.bus().recognition().isDoubtful());
        assertTrue(notices.kept().toString().contains("as LIN it would be 100 %"), notices.kept().toString());
        Decoded right = lin.decode(new FrameReader.Options("lin", Double.NaN));
        assertFalse(right.bus().recognition().isDoubtful());
        assertEquals(30, right.frames().wholeCount());
    }

    /** ISO 14230 frames with three header bytes are ISO 9141-2 frames to their sum; their length tells them apart. */
    @Test
    void theRunnerUpIsTold() {
        Recognition r = BusSamples.traffic("iso14230", 30, 4).record(1, false).decode().bus().recognition();
        assertEquals("iso14230", r.coding());
        assertEquals("iso9141", r.runnerUp());
        assertTrue(r.runnerUpExplained() > 0.3 && r.confidence() > 0.9, r.toString());
    }

    /** Nothing that is known: low confidence, no invented bus. */
    @Test
    void randomLevelsAreNoBus() {
        Random random = new Random(1);
        FormatSketch line = BusSamples.sketch("lin").idle(5000);
        for (int i = 0; i < 4000; i++) line.level(i % 2, 20 + 400 * random.nextDouble());
        Decoded d = line.idle(5000).record(1, false).decode();
        assertTrue(d.bus().recognition().confidence() < 0.7, d.bus().toString());
        assertTrue(d.bus().recognition().explained() < 0.1, d.bus().toString());
    }

    /** A bus of one's own is read by its layout's format, though something else may fit its edges. */
    @Test
    void ownFormatsAreRead() {
        for (String bus : List.of("comfort-wire", "cabin-line")) {
            Decoded d = BusSamples.traffic(bus, 30, 3).record(1, true)
                    .decode(new FrameReader.Options(null, Double.NaN, Double.NaN, BusSamples.format(bus), Double.NaN));
            assertEquals(bus, d.bus().coding());
            assertEquals(30, d.frames().wholeCount());
            assertEquals(0, d.bus().idleLevel());
            assertEquals(BusSamples.rate(bus), d.bus().bitsPerSecond());
        }
    }

    /** On a LIN bus whose every answer is two nodes' at once, headers alone tell the bus. */
    @Test
    void linWithEveryAnswerSpoilt() {
        FormatSketch line = BusSamples.sketch("lin").idle(5000);
        Random random = new Random(3);
        for (int i = 0; i < 30; i++) {
            byte[] a = new byte[4];
            byte[] b = new byte[4];
            random.nextBytes(a);
            random.nextBytes(b);
            Map<String, Long> values = Map.of("identifier", 0x21L);
            String one = line.bits(values, a);
            String two = line.bits(values, b);
            StringBuilder both = new StringBuilder();
            for (int k = 0; k < one.length(); k++) both.append(one.charAt(k) == '1' && two.charAt(k) == '1' ? '1' : '0');
            line.raw(both.toString(), null, 0x21);
            line.idle(6000);
        }
        Decoded d = line.record(1, false).decode();
        assertEquals("lin", d.bus().coding());
        int check = d.frames().count(FrameFault.CHECK);
        assertTrue(check >= 28, check + " of 30 fail their check");
        for (int i = 0; i < d.frames().size(); i++) {
            assertEquals("0x21", MessageKey.text(d.frames().key(i)));
            assertEquals(4, d.frames().dataLength(i), "bytes lie one over the other and are kept");
        }
        assertNull(d.bus().recognition().runnerUp());
    }
}
