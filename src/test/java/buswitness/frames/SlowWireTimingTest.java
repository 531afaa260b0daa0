package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Clock and asymmetry of whoever sends, frame by frame: on slow buses a tick of a microsecond is enough. */
class SlowWireTimingTest {
    /** Two senders take turns; every frame's own error says which, and the truth lies within the errors stated. */
    @ParameterizedTest
    @CsvSource({"can, 1, 2500", "j1850-vpw, 1, 1500", "j1850-pwm, 0.1, 4000", "iso9141, 1, 1500", "iso14230, 1, 1500",
        "comfort-wire, 1, 1500", "cabin-line, 1, 1500"})
    void twoClocksAreToldApartFrameByFrame(String bus, double tick, double apart) {
        Random random = new Random(4);
        FormatSketch line = BusSamples.sketch(bus).idle(0);
        line.idle(3 * line.restMicros());
        List<Double> clocks = new ArrayList<>();
        for (int i = 0; i < 80; i++) {
            double ppm = (i % 2 == 0 ? -1 : 1) * apart / 2;
            line.sender(ppm, 0);
            byte[] data = new byte[bus.equals("comfort-wire") ? 8 : 6];
            random.nextBytes(data);
            line.frame(BusSamples.values(bus, random), data);
            clocks.add(ppm);
            line.idle(line.restMicros() * (1 + random.nextDouble()));
        }
        FrameLog log = line.record(tick, false).decode(BusSamples.told(bus)).frames();
        assertEquals(80, log.wholeCount(), bus);
        double squares = 0;
        for (int i = 0; i < 80; i++) {
            double miss = (log.bitPpm(i) - clocks.get(i)) / log.bitPpmError(i);
            squares += miss * miss;
            assertTrue(Math.abs(miss) < 5, bus + " frame " + i + ": " + log.bitPpm(i) + " +- " + log.bitPpmError(i));
            assertTrue(log.bitPpmError(i) < apart / 2, bus + " error " + log.bitPpmError(i));
        }
        assertTrue(squares / 80 < 2, bus + ": scatter is " + Math.sqrt(squares / 80) + " times the stated error");
    }

    /** On LIN the answer's bytes count, not the master's header. */
    @Test
    void onLinTheAnswerIsTimed() {
        FormatSketch line = BusSamples.sketch("lin").idle(5000);
        LineFormat.Bytes bytes = (LineFormat.Bytes) line.format.line();
        Random random = new Random(9);
        for (int i = 0; i < 40; i++) {
            byte[] data = new byte[8];
            random.nextBytes(data);
            String bits = line.bits(BusSamples.values("lin", random), data);
            line.sender(-3000, 0);
            line.bytes(bytes, bits.substring(0, 16), true);
            line.idle(100 + 40 * (i % 2));
            line.sender(i % 2 == 0 ? 9000 : -9000, 0);
            line.bytes(bytes, bits.substring(16), false);
            line.sender(0, 0).idle(5000);
        }
        FrameLog log = line.record(1, false).decode(BusSamples.told("lin")).frames();
        assertEquals(40, log.wholeCount());
        for (int i = 0; i < 40; i++) {
            double truth = i % 2 == 0 ? 9000 : -9000;
            assertEquals(truth, log.bitPpm(i), 5 * log.bitPpmError(i));
            assertTrue(log.bitPpmError(i) < 1500, "error " + log.bitPpmError(i));
            double wait = (log.answerPicos(i) - log.startPicos(i)) * 1e-6 - 34 * line.bitMicros * 0.997;
            assertEquals(100 + 40 * (i % 2), wait, 2, "how long the answer waited");
        }
    }

    /** A dominant level that ends late shows as asymmetry, on every coding, in nanoseconds and with its sign. */
    @ParameterizedTest
    @CsvSource({"lin, 2", "j1850-vpw, 3", "iso14230, 4", "comfort-wire, 5", "cabin-line, -4"})
    void asymmetryIsMeasured(String bus, double late) {
        Random random = new Random(8);
        FormatSketch line = BusSamples.sketch(bus).idle(0);
        line.asymmetryMicros = late;
        line.idle(3 * line.restMicros());
        for (int i = 0; i < 40; i++) {
            byte[] data = new byte[bus.equals("comfort-wire") ? 8 : 6];
            random.nextBytes(data);
            line.frame(BusSamples.values(bus, random), data);
            line.idle(line.restMicros() * (1 + random.nextDouble()));
        }
        FrameLog log = line.record(0.1, false).decode(BusSamples.told(bus)).frames();
        assertEquals(40, log.wholeCount(), bus);
        for (int i = 0; i < 40; i++) {
            assertEquals(2000 * late, log.asymmetryNanos(i), 5 * log.asymmetryErrorNanos(i) + 20, bus);
        }
    }
}
