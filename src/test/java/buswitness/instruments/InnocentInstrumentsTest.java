package buswitness.instruments;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.Verdict;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.util.SplittableRandom;
import java.util.function.DoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Ordinary life of a dashboard: none of it may be called flapping. */
class InnocentInstrumentsTest {
    private static final int ID = 0x210;

    private static Layout gauge(String signal) {
        return Layouts.parse("messages: {m: {id: 0x210, every: 100 ms, carries: {v: {" + signal + "}}}}\n"
                + "instruments: {tank gauge: {shows: v, from: 0, to: 100, settles in: 0.6 s}}", "test");
    }

    private static Layout lamp(String more) {
        return Layouts.parse("messages: {m: {id: 0x210, every: 100 ms, carries: {v: {bit: 0}}}}\n"
                + "instruments: {side lamp: {shows: v, lit when: 1" + more + "}}", "test");
    }

    private static InstrumentFinding one(Layout layout, double period, DoubleFunction<int[]> data) {
        return new HandMadeBus(120).every(ID, 0, period, 0.013, data).replay(layout).instruments().get(0);
    }

    private static void none(InstrumentFinding f) {
        InstrumentsTest.check(f, Symptom.NONE, Cause.NONE);
    }

    @ParameterizedTest
    @CsvSource({"'bits: 0..7, changes at most: 5 per s', 1", "'bits: 0..7, changes at most: 5 per s', 2",
        "'bits: 0..7, changes at most: 5 per s', 3", "'bits: 0..7', 1", "'bits: 0..7', 2", "'bits: 0..7', 3"})
    void noiseOfAFewCounts(String signal, int counts) {
        for (long seed = 1; seed <= 20; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            none(one(gauge(signal), 0.1, t -> new int[] {(int) (40 + t / 6) + random.nextInt(-counts, counts + 1)}));
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"bits: 0..7, changes at most: 30 per s", "bits: 0..7"})
    void fuelThatSloshes(String signal) {
        for (double hertz : new double[] {0.3, 0.7, 1.3}) {
            none(one(gauge(signal), 0.1, t -> new int[] {(int) Math.round(50 + 4 * Math.sin(6.28 * hertz * t)
                    + 2 * Math.sin(11 * t))}));
            none(one(gauge(signal), 1.0, t -> new int[] {(int) Math.round(50 + 4 * Math.sin(6.28 * hertz * t)
                    + 2 * Math.sin(11 * t))}));
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"bits: 0..7, changes at most: 120 per s", "bits: 0..7"})
    void anEngineThatIsRevved(String signal) {
        // Up in 1 s, down in 1.5 s, every 5 s; 100 ms messages.
        none(one(gauge(signal), 0.1, t -> {
            double x = t % 5;
            return new int[] {(int) (10 + 80 * (x < 1 ? x : x < 2.5 ? 1 - (x - 1) / 1.5 : 0))};
        }));
    }

    @Test
    void ignitionOffAndOnMovesTheNeedleTwice() {
        none(one(gauge("bits: 0..7, changes at most: 5 per s"), 0.1, t -> new int[] {t > 40 && t < 70 ? 0 : 80}));
    }

    @ParameterizedTest
    @ValueSource(strings = {", page: {bits: 8..15, is: 1}", ", changes at most: 3 per s, page: {bits: 8..15, is: 1}"})
    void pagesInTurnNeverFlap(String page) {
        int[] count = {0};
        InstrumentFinding f = one(gauge("bits: 0..7" + page), 0.1, t -> {
            int p = count[0]++ % 4;
            return new int[] {p * 60, p};
        });
        none(f);
        assertEquals(0, f.reversals());
        assertEquals(300, f.trace().told().length, "every fourth frame carries it");
    }

    @Test
    void aForgottenPageIsPointedAtAndBlamesNobody() {
        int[] count = {0};
        InstrumentFinding f = one(gauge("bits: 0..7, changes at most: 3 per s"), 0.1, t -> {
            int p = count[0]++ % 3;
            return new int[] {p * 40, 0, p};
        });
        InstrumentsTest.check(f, Symptom.FLAPPING, Cause.UNDECIDED);
        assertTrue(f.says().contains("bits 20..23") && f.says().contains("page number"), f.says());
        // A counter beside a jumping reading is no page.
        SplittableRandom random = new SplittableRandom(8);
        InstrumentFinding own = one(gauge("bits: 0..7, changes at most: 3 per s"), 0.1,
                t -> new int[] {random.nextInt(3) == 0 ? 10 : 90, 0, count[0]++ & 15});
        InstrumentsTest.check(own, Symptom.FLAPPING, Cause.OWN_READING);
    }

    @Test
    void aDriverWhoWorksASwitch() {
        double[] changes = {5, 7.2, 8.1, 11.9, 30, 31.1, 44, 44.9, 46, 80};
        none(one(lamp(""), 0.1, t -> {
            int n = 0;
            for (double c : changes) if (t >= c) n++;
            return new int[] {n % 2 == 1 ? 0x80 : 0};
        }));
    }

    @Test
    void twoSendersThatAgreeOnASwitchedLamp() {
        DoubleFunction<int[]> data = t -> new int[] {(int) (t / 2) % 2 == 1 ? 0x80 : 0};
        HandMadeBus bus = new HandMadeBus(120).every(ID, 0, 0.1, 0.01, data).every(ID, 1, 0.1, 0.06, data);
        none(bus.replay(lamp("")).instruments().get(0));
    }

    /** UN R48 clause 6.5.8: 90 +- 30 a minute. Duty 30 to 75 %: SAE J590, from memory. */
    @ParameterizedTest
    @CsvSource({"60,0.5", "90,0.5", "120,0.5", "75,0.35", "100,0.7"})
    void turnSignals(double perMinute, double duty) {
        double period = 60 / perMinute;
        for (String more : new String[] {"", ", blinks: true"}) {
            // Three spells of ten seconds, as a driver turns.
            InstrumentFinding f = one(lamp(more), 0.05,
                    t -> new int[] {t % 40 < 10 && t % 40 % period < duty * period ? 0x80 : 0});
            InstrumentsTest.check(f, Symptom.NONE, Cause.BLINKING);
            assertTrue(f.says().contains("blinks steadily"), f.says());
        }
    }

    @Test
    void aFailedBulbBlinksFastOnPurpose() {
        DoubleFunction<int[]> fast = t -> new int[] {t % 0.3 < 0.15 ? 0x80 : 0};
        InstrumentsTest.check(one(lamp(", blinks: true"), 0.02, fast), Symptom.NONE, Cause.BLINKING);
        InstrumentsTest.check(one(lamp(""), 0.02, fast), Symptom.FLAPPING, Cause.OWN_READING);
    }

    @Test
    void anUnsteadyLampOfOneSenderIsItsOwnReading() {
        SplittableRandom random = new SplittableRandom(3);
        InstrumentFinding f = one(lamp(""), 0.1, t -> new int[] {random.nextInt(4) == 0 ? 0x80 : 0});
        InstrumentsTest.check(f, Symptom.FLAPPING, Cause.OWN_READING);
    }

    @Test
    void aTurnSignalThatASecondSenderDenies() {
        HandMadeBus bus = new HandMadeBus(60)
                .every(ID, 0, 0.1, 0.01, t -> new int[] {t % 0.7 < 0.35 ? 0x80 : 0})
                .every(ID, 1, 0.1, 0.06, t -> new int[] {0});
        InstrumentsTest.check(bus.replay(lamp(", blinks: true")).instruments().get(0), Symptom.FLAPPING,
                Cause.TWO_SENDERS);
    }

    @Test
    void oneGlitchIsNoFlapping() {
        none(one(gauge("bits: 0..7, changes at most: 5 per s"), 0.1, t -> new int[] {t > 60 && t < 60.1 ? 0 : 80}));
        none(new HandMadeBus(120).verdict(ID, Verdict.UNDECIDED).every(ID, 0, 0.1, 0.013,
                t -> new int[] {t > 60 && t < 60.1 ? 0 : 80}).replay(gauge("bits: 0..7")).instruments().get(0));
    }
}
