package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Rate and polarity are found from the edges alone and every frame is read, whatever the recorder and the line do. */
class FrameReaderRatesTest {
    private static final double[] RATES = {5_000, 10_000, 1e5 / 3, 1e6 / 12, 125_000, 250_000, 500_000, 1_000_000};

    private record Sent(int identifier, byte[] data) {}

    /** Frames of random content, some back to back, some after a pause. */
    private static List<Sent> traffic(WireSketch wire, int frames, long seed, double pauseBits) {
        Random random = new Random(seed);
        List<Sent> sent = new ArrayList<>();
        wire.idle(30);
        for (int i = 0; i < frames; i++) {
            byte[] data = new byte[random.nextInt(9)];
            random.nextBytes(data);
            int identifier = random.nextInt(0x7F0);
            wire.frame(identifier, data);
            sent.add(new Sent(identifier, data));
            if (random.nextInt(3) > 0) wire.idle(random.nextDouble() * pauseBits);
        }
        wire.idle(30);
        return sent;
    }

    private static void assertRead(List<Sent> sent, Decoded decoded, String what) {
        FrameLog log = decoded.frames();
        assertEquals(sent.size(), log.size(), what + ": frames");
        for (int i = 0; i < sent.size(); i++) {
            assertTrue(log.isWhole(i), what + ": frame " + i + " " + log.fault(i) + " at bit " + log.faultBit(i));
            assertEquals(sent.get(i).identifier, MessageKey.identifier(log.key(i)), what);
            assertEquals(java.util.HexFormat.of().formatHex(sent.get(i).data),
                    java.util.HexFormat.of().formatHex(log.data(i)), what);
        }
    }

    private static void assertFound(double rate, boolean inverted, Decoded decoded, double tolerance, String what) {
        assertEquals(rate, decoded.bus().bitsPerSecond(), rate * 1e-9, what + ": nominal rate");
        assertEquals(rate, decoded.bus().measuredBitsPerSecond(), rate * tolerance, what + ": measured rate");
        assertEquals(inverted ? 0 : 1, decoded.bus().idleLevel(), what + ": resting level");
        assertTrue(decoded.bus().rateConfidence() > 0.99, what + ": confidence " + decoded.bus().rateConfidence());
        assertTrue(decoded.bus().idleConfidence() > 0.6, what + ": " + decoded.bus().idleConfidence());
    }

    static double[] rates() {
        return RATES;
    }

    @ParameterizedTest
    @MethodSource("rates")
    void everyRateTickClockErrorAndPolarity(double rate) {
        double bit = 1e12 / rate;
        double[] ticks = {10_000, bit / 200, bit / 20, bit / 10};
        for (double tick : ticks) {
            if (tick > bit / 10) continue;
            for (double ppm : new double[] {-5000, -100, 0, 3000, 5000}) {
                for (boolean inverted : new boolean[] {false, true}) {
                    String what = rate + " bit/s, tick " + tick + " ps, " + ppm + " ppm, inverted " + inverted;
                    WireSketch wire = new WireSketch(rate, 7).tick(tick).inverted(inverted).sender(ppm, 0);
                    List<Sent> sent = traffic(wire, 40, 11, 400);
                    Decoded decoded = wire.record().decode();
                    assertFound(rate, inverted, decoded, 0.0065, what);
                    assertRead(sent, decoded, what);
                }
            }
        }
    }

    @ParameterizedTest
    @MethodSource("rates")
    void asymmetryOfFifteenPercentOfABit(double rate) {
        double bit = 1e12 / rate;
        for (double share : new double[] {-0.15, 0.15}) {
            for (boolean inverted : new boolean[] {false, true}) {
                String what = rate + " bit/s, dominant longer by " + share + " bit, inverted " + inverted;
                WireSketch wire = new WireSketch(rate, 3).tick(bit / 40).inverted(inverted).sender(200, share * bit)
                        .jitter(0.01 * bit);
                List<Sent> sent = traffic(wire, 60, 5, 300);
                Decoded decoded = wire.record().decode();
                assertFound(rate, inverted, decoded, 0.002, what);
                assertRead(sent, decoded, what);
                for (int i = 0; i < sent.size(); i++) {
                    if (Float.isNaN(decoded.frames().asymmetryNanos(i))) continue;
                    assertEquals(2 * share * bit * 1e-3, decoded.frames().asymmetryNanos(i), 0.06 * bit * 1e-3, what);
                }
            }
        }
    }

    @Test
    void ringingAndSpikesAreFilteredAndCounted() {
        for (double chance : new double[] {0.1, 0.5, 1}) {
            WireSketch wire = new WireSketch(125_000, 9).tick(10_000).ringing(chance);
            List<Sent> sent = traffic(wire, 50, 13, 500);
            WireSketch.Recorded recorded = wire.record();
            Decoded decoded = recorded.decode();
            String what = "ringing at " + chance + " of the edges";
            assertFound(125_000, false, decoded, 0.002, what);
            assertRead(sent, decoded, what);
            assertEquals(recorded.atPicos().length, decoded.bus().edges(), what);
            long inFrames = 0;
            for (int i = 0; i < sent.size(); i++) inFrames += decoded.frames().glitches(i);
            assertTrue(decoded.bus().glitches() > 0);
            assertEquals(decoded.bus().glitches(), inFrames, what + ": every filtered run lies in a frame here");
        }
    }

    @Test
    void oneFrameIsEnoughToFindTheRate() {
        int right = 0;
        int tries = 0;
        for (double rate : RATES) {
            for (int seed = 0; seed < 10; seed++) {
                WireSketch wire = new WireSketch(rate, seed).tick(1e12 / rate / 20);
                List<Sent> sent = traffic(wire, 1, seed, 10);
                Decoded decoded = wire.record().decode();
                tries++;
                boolean ok = Math.abs(decoded.bus().bitsPerSecond() / rate - 1) < 1e-9
                        && decoded.frames().size() == 1 && decoded.frames().isWhole(0);
                if (ok) right++;
                else {
                    assertTrue(decoded.bus().rateConfidence() < 0.9,
                            rate + " seed " + seed + " read wrongly as " + decoded.bus());
                }
            }
        }
        assertTrue(right >= 0.95 * tries, right + " of " + tries + " single frames");
    }

    @Test
    void oddRatesAreReportedAsMeasured() {
        for (double rate : new double[] {7_300, 14_500, 57_000, 150_000, 300_000, 573_000, 910_000}) {
            WireSketch wire = new WireSketch(rate, 21).tick(10_000);
            List<Sent> sent = traffic(wire, 40, 17, 300);
            Decoded decoded = wire.record().decode();
            assertEquals(rate, decoded.bus().bitsPerSecond(), rate * 0.002);
            assertRead(sent, decoded, rate + " bit/s");
        }
    }

    @Test
    void twoFramesAMinuteAndALineThatNeverMoves() {
        WireSketch wire = new WireSketch(33_333.333, 4).tick(1_000_000);
        wire.idle(1_000_000);
        wire.frame(0x123, (byte) 1, (byte) 2);
        wire.idle(1_000_000);
        wire.frame(0x456, (byte) 3);
        wire.idle(1_000_000);
        Decoded decoded = wire.record().decode();
        assertEquals(1e5 / 3, decoded.bus().bitsPerSecond(), 0.01);
        assertEquals(2, decoded.frames().wholeCount());
        assertTrue(decoded.bus().load() > 0 && decoded.bus().load() < 1e-4, "load " + decoded.bus().load());

        Decoded still = new WireSketch(125_000, 1).idle(1000).record().decode();
        assertTrue(Double.isNaN(still.bus().bitsPerSecond()));
        assertEquals(0, still.bus().rateConfidence());
        assertEquals(0, still.frames().size());
        assertEquals(0, still.bus().load());
    }

    /** Nothing but broken frames, flags superposed to twelve bits, hardly a pause: rate and rest are still found. */
    @Test
    void errorStorm() {
        for (boolean inverted : new boolean[] {false, true}) {
            WireSketch wire = new WireSketch(125_000, 3).tick(1_000_000).inverted(inverted).sender(300, 50_000);
            Random random = new Random(8);
            for (int i = 0; i < 300; i++) {
                byte[] data = new byte[8];
                random.nextBytes(data);
                String body = CanFrameBits.stuffed(CanFrameBits.unstuffed(0x1D0, false, false, 8, data)).toString();
                String flags = "0".repeat(6 + random.nextInt(7));
                wire.send(body.substring(0, 24 + random.nextInt(60)) + flags + "1".repeat(11));
            }
            Decoded decoded = wire.idle(20).record().decode();
            assertEquals(125_000, decoded.bus().bitsPerSecond());
            assertEquals(inverted ? 0 : 1, decoded.bus().idleLevel());
            int known = 0;
            for (int i = 0; i < decoded.frames().size(); i++) {
                assertTrue(!decoded.frames().isWhole(i));
                if (decoded.frames().key(i) == MessageKey.can(0x1D0, false)) known++;
            }
            assertTrue(known >= 298, known + " of 300 identifiers");
        }
    }

    /** Everything at once, as far as the sample point allows: a tick of a twelfth, asymmetry, clock error. */
    @Test
    void allErrorsTogether() {
        for (double share : new double[] {-0.12, 0.12}) {
            for (double ppm : new double[] {-5000, 5000}) {
                WireSketch wire = new WireSketch(250_000, 6).tick(333_333).sender(ppm, share * 4e6).jitter(40_000);
                List<Sent> sent = traffic(wire, 300, 23, 300);
                Decoded decoded = wire.record().decode();
                assertFound(250_000, false, decoded, 0.0065, "all errors, " + share + " bit, " + ppm + " ppm");
                assertRead(sent, decoded, "all errors, " + share + " bit, " + ppm + " ppm");
            }
        }
    }

    /** A rate that was given is kept, right or wrong, and a wrong one shows by what is read. */
    @Test
    void aGivenRateOverrides() {
        WireSketch wire = new WireSketch(125_000, 2).tick(1_000_000);
        List<Sent> sent = traffic(wire, 40, 3, 300);
        Decoded right = wire.record().decodeAt(125_000);
        assertRead(sent, right, "given rate");
        assertEquals(1, right.bus().rateConfidence());
        assertTrue(right.bus().rateGiven());
        Decoded wrong = wire.record().decodeAt(83_333);
        assertEquals(83_333, wrong.bus().bitsPerSecond());
        assertEquals(0, wrong.frames().wholeCount());
        assertTrue(wrong.frames().size() > 20, "every stretch is told: " + wrong.frames().size());
    }
}
