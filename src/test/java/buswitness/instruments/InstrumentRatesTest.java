package buswitness.instruments;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.stats.Interval;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.function.DoubleFunction;
import org.junit.jupiter.api.Test;

/**
 * Error rates on many random instruments. The table of analysis-notes/instruments.md is printed by
 * {@code mvn test -Dtest=InstrumentRatesTest -Dbuswitness.rates=400}; {@code buswitness.rates} is the number of cases a
 * kind, 25 by default. Senders are named by hand, with the errors said below: this is the instruments' part alone.
 */
class InstrumentRatesTest {
    private static final int ID = 0x210;
    private static final int EACH = Integer.getInteger("buswitness.rates", 25);
    /** Share of frames with a wrong, and with no, sender's name in the cases with two senders. */
    private static final double WRONG_NAME = 0.01;
    private static final double NO_NAME = 0.05;

    private final SplittableRandom random = new SplittableRandom(Long.getLong("buswitness.seed", 11L));
    private final Map<String, int[]> table = new TreeMap<>();

    private static Layout gauge(double rate, double period, double settles) {
        return Layouts.parse(String.format(Locale.ROOT, "messages: {m: {id: 0x210, every: %s ms, carries: {v: {"
                + "bits: 0..7%s}}}}\ninstruments: {tank gauge: {shows: v, from: 0, to: 100, settles in: %s s}}",
                period * 1e3, rate > 0 ? ", changes at most: " + rate + " per s" : "", settles), "test");
    }

    private static final Layout LAMP = Layouts.parse("messages: {m: {id: 0x210, carries: {v: {bit: 0}}}}\n"
            + "instruments: {side lamp: {shows: v, lit when: 1}}", "test");

    private double between(double low, double high) {
        return low + random.nextDouble() * (high - low);
    }

    private double period() {
        return new double[] {0.02, 0.05, 0.1, 0.2, 0.5, 1}[random.nextInt(6)];
    }

    private double gaussian() {
        return buswitness.testing.FrameLogs.gaussian(random);
    }

    private static int[] byteOf(double value) {
        return new int[] {(int) Math.max(0, Math.min(255, Math.round(value)))};
    }

    private void count(String kind, InstrumentFinding f) {
        String outcome = f.symptom() == Symptom.NONE ? "none" : f.symptom().text() + ", " + f.cause().text();
        table.computeIfAbsent(kind + " | " + outcome, k -> new int[1])[0]++;
    }

    private int outcomes(String kind, String part) {
        return table.entrySet().stream().filter(e -> e.getKey().startsWith(kind) && e.getKey().contains(part))
                .mapToInt(e -> e.getValue()[0]).sum();
    }

    /** One sender at this period with late and missing frames as on an ordinary bus. */
    private InstrumentFinding alone(Layout layout, double period, DoubleFunction<int[]> data) {
        HandMadeBus bus = new HandMadeBus(between(20, 120));
        int count = 0;
        for (double at = between(0, period); at < 120; at += period) {
            double late = random.nextInt(5) == 0 ? between(0, 0.3 * period) : 0;
            if (random.nextInt(200) > 0 && bus.lasts() > at + late) bus.frame(at + late, ID, 0, data.apply(at));
            count++;
        }
        assertTrue(count > 10);
        return bus.replay(layout).instruments().get(0);
    }

    private InstrumentFinding together(Layout layout, double periodA, double periodB, DoubleFunction<int[]> a,
                                       DoubleFunction<int[]> b) {
        return together(layout, periodA, periodB, random.nextDouble(), a, b);
    }

    /** @param phase of the second sender, share of its period after the first one's frame */
    private InstrumentFinding together(Layout layout, double periodA, double periodB, double phase,
                                       DoubleFunction<int[]> a, DoubleFunction<int[]> b) {
        HandMadeBus bus = new HandMadeBus(between(20, 120)).badNames(WRONG_NAME, NO_NAME, random.split());
        double skew = 1 + between(-100e-6, 100e-6);
        double first = between(0, periodA);
        bus.every(ID, 0, periodA, first, a).every(ID, 1, periodB * skew, first + phase * periodB, b);
        return bus.replay(layout).instruments().get(0);
    }

    @Test
    void ordinaryInstrumentsAreLeftAlone() {
        for (int i = 0; i < EACH; i++) {
            double period = period();
            double level = between(20, 80);
            for (double rate : new double[] {0, 5}) {
                String known = rate > 0 ? ", rate known" : "";
                int counts = random.nextInt(4);
                count("innocent: even noise" + known, alone(gauge(rate, period, 0.6), period,
                        t -> byteOf(level + t / 10 + random.nextInt(-counts, counts + 1))));
                double sd = between(0.3, 2.5);
                count("innocent: normal noise" + known, alone(gauge(rate, period, 0.6), period,
                        t -> byteOf(level + sd * gaussian())));
            }
            double hertz = between(0.2, 2);
            double slosh = between(1, 6);
            double fastest = 2 * Math.PI * hertz * slosh;
            for (double rate : new double[] {0, Math.ceil(fastest)}) {
                count("innocent: slosh" + (rate > 0 ? ", rate known" : ""), alone(gauge(rate, period, 0.6), period,
                        t -> byteOf(level + slosh * Math.sin(2 * Math.PI * hertz * t))));
            }
            double up = between(0.7, 2);
            double down = between(1, 3);
            double pause = between(0.5, 6);
            for (double rate : new double[] {0, Math.ceil(80 / Math.min(up, down))}) {
                count("innocent: revs" + (rate > 0 ? ", rate known" : ""), alone(gauge(rate, period, 0.6),
                        period, t -> {
                    double x = t % (up + down + pause);
                    return byteOf(10 + 80 * (x < up ? x / up : x < up + down ? 1 - (x - up) / down : 0));
                }));
            }
            double[] switches = new double[random.nextInt(1, 12)];
            for (int k = 0; k < switches.length; k++) switches[k] = between(0, 120);
            count("innocent: switched lamp", alone(LAMP, period, t -> {
                int n = 0;
                for (double s : switches) if (t >= s) n++;
                return new int[] {n % 2 == 1 ? 0x80 : 0};
            }));
            double blink = between(0.5, 1);
            double duty = between(0.35, 0.7);
            double fine = Math.min(period, 0.1);
            count("innocent: turn signal", alone(LAMP, fine, t -> new int[] {t % blink < duty * blink ? 0x80 : 0}));
            count("innocent: two senders agree", together(gauge(5, period, 0.6), period, period,
                    t -> byteOf(level + t / 10), t -> byteOf(level + 0.7 + t / 10)));
        }
        report();
        int cases = outcomes("innocent", "|");
        assertEquals(0, outcomes("innocent", "two senders,") + outcomes("innocent", ", two senders")
                + outcomes("innocent", "damaged by"), "accusations");
        assertTrue(outcomes("innocent", "flapping") <= 0.01 * cases, "called flapping");
    }

    @Test
    void clashesAreFoundAndReadingsAreNotBlamedOnThem() {
        for (int i = 0; i < EACH; i++) {
            double settles = between(0.2, 2);
            double a = between(5, 60);
            double b = a + between(8, 35);
            for (double rate : new double[] {0, 5}) {
                String known = rate > 0 ? ", rate known" : "";
                double period = period();
                double phase = random.nextDouble();
                boolean seen = ripple(b - a, phase * period, (1 - phase) * period, settles) >= 0.03;
                count("clash " + (seen ? "seen" : "unseen") + ": same period" + known,
                        together(gauge(rate, period, settles), period, period, phase,
                        t -> byteOf(a + random.nextInt(2)), t -> byteOf(b + random.nextInt(2))));
                double other = period();
                double dwell = Math.min(period, other) / 2;
                seen = ripple(b - a, dwell, dwell, settles) >= 0.03;
                count("clash " + (seen ? "seen" : "unseen") + ": any two periods" + known,
                        together(gauge(rate, Math.min(period, other), settles), period, other,
                        t -> byteOf(a + t / 10), t -> byteOf(b + t / 10)));
            }
            double lampPeriod = period();
            count("clash seen: lamp", together(LAMP, lampPeriod, period(), t -> new int[] {0x80}, t -> new int[] {0}));
            double sometimes = between(0.05, 0.5);
            double period = period();
            for (double rate : new double[] {0, 5}) {
                count("reading: one sender" + (rate > 0 ? ", rate known" : ""), alone(gauge(rate, period, settles),
                        period, t -> byteOf(random.nextDouble() < sometimes ? a : b)));
            }
            count("reading: one of two", together(gauge(5, period, settles), period, period,
                    t -> byteOf(random.nextDouble() < sometimes ? a : b), t -> byteOf(b)));
            double step = between(0.2, 3);
            count("reading: shared by two", together(gauge(5, period, settles), period, period,
                    t -> byteOf(flip(t, step) ? a : b), t -> byteOf(flip(t, step) ? a : b)));
        }
        report();
        assertEquals(0, outcomes("reading: one sender", "two senders") + outcomes("reading: shared", ", two senders"),
                "readings blamed on two senders");
        int clashes = outcomes("clash seen", "|");
        assertTrue(outcomes("clash seen", ", two senders") >= 0.95 * clashes, "found");
    }

    /**
     * Swing of a needle that is told two values in turn, share of travel: the settled answer of a first-order lag to a
     * square wave, step (1 - e^-x) (1 - e^-y) / (1 - e^-(x + y)), x and y the two dwells over tau (textbook). Two
     * senders of different periods have no fixed dwell; half the faster one's period is taken.
     */
    private static double ripple(double step, double dwellA, double dwellB, double settles) {
        double x = dwellA / (settles / 3);
        double y = dwellB / (settles / 3);
        return step / 100 * (1 - Math.exp(-x)) * (1 - Math.exp(-y)) / (1 - Math.exp(-x - y));
    }

    /** A shared reading that changes at odd times, the same for everybody who asks. */
    private static boolean flip(double seconds, double step) {
        long n = (long) (seconds / step);
        return (new SplittableRandom(n * 7919 + 3).nextInt() & 1) == 0;
    }

    private void report() {
        Map<String, Integer> cases = new TreeMap<>();
        table.forEach((k, v) -> cases.merge(k.substring(0, k.indexOf(" |")), v[0], Integer::sum));
        StringBuilder text = new StringBuilder("| kind | outcome | cases | share (95 % interval) |\n");
        text.append("|---|---|---|---|\n");
        table.forEach((k, v) -> {
            int all = cases.get(k.substring(0, k.indexOf(" |")));
            Interval i = Interval.wilson(v[0], all, 1.96);
            text.append(String.format(Locale.ROOT, "| %s | %d of %d | %.1f to %.1f %% |%n", k, v[0], all, 100 * i.low(),
                    100 * i.high()));
        });
        System.out.println(text);
    }
}
