package buswitness.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.capture.RecordingInfo;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import buswitness.frames.Decoded;
import buswitness.frames.MessageKey;
import buswitness.problem.Progress;
import buswitness.schema.Layouts;
import buswitness.testing.FrameLogs;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** What came, went or changed is found; two recordings of the same bus do not differ. */
class ComparisonsTest {
    private static final long KEY = MessageKey.can(0x1D0, false);
    private static final String LAYOUT = """
            bus: {coding: can, rate: 125 kbit/s}
            nodes: [translator, engine, panel]
            messages:
              state:
                id: 0x1D0
                from: translator
                every: 100 ms
                carries: {coolant: {bits: 0..7, offset: -40, unit: °C, changes at most: 3 per s}, oil low: {bit: 8}}
              engine: {id: 0x0D0, from: engine, every: 20 ms, carries: {speed: {bits: 0..15, factor: 0.25, unit: rpm}}}
              panel: {id: 0x320, from: panel, every: 100 ms}
            instruments:
              coolant gauge: {shows: coolant, from: 50, to: 130}
              oil lamp: {shows: oil low, lit when: 1}
            """;

    /** A bus that can be built another way. */
    private static final class Bus {
        double seconds = 40;
        long seed = 1;
        double coolant = 87;
        double statePeriod = 0.1;
        double engineClock = -31;
        double damaged;
        DoubleUnaryOperator speed;
        boolean panel = true;
        boolean second;
        boolean extra;
        boolean moved;

        Findings made() {
            FrameLogs bus = new FrameLogs(125_000, seconds, seed).damaged(damaged);
            SplittableRandom random = new SplittableRandom(seed);
            double[] walk = {1500};
            DoubleUnaryOperator rpm = speed != null ? speed : t -> walk[0] += 20 * FrameLogs.gaussian(random)
                    + 0.01 * (1500 - walk[0]);
            FrameLogs.Node translator = bus.node(38, 0.3, 80e-6);
            FrameLogs.Node engine = bus.node(engineClock, 0.3, 80e-6);
            (moved ? engine : translator).every(0x1D0, statePeriod, 0.013, (n, t, r) -> new byte[] {(byte) (int) (coolant + 40
                    + (second ? 0 : Math.floor(2 * r.nextDouble()))), 0, 0});
            engine.every(0x0D0, 0.02, 0.004, (n, t, r) -> {
                int a = (int) Math.rint(rpm.applyAsDouble(t) * 4);
                return new byte[] {(byte) (a >> 8), (byte) a};
            });
            if (panel) bus.node(4, 0.3, 80e-6).every(0x320, 0.1, 0.071, (n, t, r) -> new byte[] {(byte) n});
            if (second) engine.every(0x1D0, 0.1, 0.063, (n, t, r) -> new byte[] {0, 0, 0});
            if (extra) engine.every(0x400, 0.5, 0.2, (n, t, r) -> new byte[] {1});
            FrameLogs.Made made = bus.make();
            RecordingInfo info = new RecordingInfo("seed " + seed, "bit-timed log", "" + seed, 1e6, List.of("bus"), List.of());
            return Analysis.judge(new AnalysisReading(info, "bus", Layouts.parse(LAYOUT, "x"), false,
                    new Decoded(made.bus(), made.log(), made.gaps()), List.of(), 0), Progress.SILENT);
        }
    }

    private static Findings bus(long seed, Consumer<Bus> how) {
        Bus bus = new Bus();
        bus.seed = seed;
        how.accept(bus);
        return bus.made();
    }

    private static Change find(Comparison c, Kind kind, String subject) {
        return c.changes().stream().filter(x -> x.kind() == kind && x.subject().contains(subject)).findFirst().orElseThrow();
    }

    private static Change compared(Kind kind, String subject, Consumer<Bus> after) {
        return find(Comparisons.recordings(bus(1, b -> { }), bus(2, after), false), kind, subject);
    }

    @Test
    void twoRecordingsOfTheSameBusDoNotDiffer() {
        // 24 pairs, the risk is 1 in 100 a pair: more than two false alarms have a chance below 2 in 1000.
        List<Findings> all = new ArrayList<>();
        for (int s = 0; s < 25; s++) all.add(bus(100 + s, b -> { }));
        List<String> alarms = new ArrayList<>();
        for (int s = 1; s < all.size(); s++) {
            for (Change c : Comparisons.recordings(all.get(s - 1), all.get(s), false).changes()) {
                if (c.standing().isDifference()) alarms.add(c.toString());
            }
        }
        assertTrue(alarms.size() <= 2, alarms.toString());
    }

    @Test
    void messagesComeAndGo() {
        assertEquals(Standing.CAME, compared(Kind.MESSAGES, "0x400", b -> b.extra = true).standing());
        assertEquals(Standing.WENT, compared(Kind.MESSAGES, "0x320", b -> b.panel = false).standing());
        Change brief = compared(Kind.MESSAGES, "0x320", b -> {
            b.panel = false;
            b.seconds = 2;
        });
        assertFalse(brief.standing().isDifference(), "two seconds of silence prove little: " + brief);
        assertTrue(brief.chance() > Comparison.RISK);
    }

    @Test
    void senders() {
        Change clash = compared(Kind.SENDERS, "0x1D0", b -> b.second = true);
        assertEquals(Standing.CHANGED, clash.standing(), clash.toString());
        assertEquals("two senders", clash.after());
        assertEquals(Standing.SAME, compared(Kind.SENDERS, "0x1D0", b -> { }).standing());
    }

    @Test
    void aMessageThatGoesOverToAnotherUnit() {
        Comparison c = Comparisons.recordings(bus(1, b -> { }), bus(2, b -> b.moved = true), false);
        Change who = c.changes().stream().filter(x -> x.kind() == Kind.SENDERS && x.standing().isDifference()).findFirst().orElseThrow();
        // The translator's clock runs 38 ppm fast, the engine's 31 slow.
        assertEquals(69, Math.abs(who.difference()), 3 * who.error(), who.toString());
        assertTrue(who.before().startsWith("not from the unit that sends "), who.before());
        assertTrue(who.after().startsWith("from the unit that sends "), who.after());
    }

    /** Which of two schedules on one message has a frame more is chance: each is held against its like. */
    @Test
    void twoSchedulesOnOneMessageAreHeldAgainstTheirLikes() {
        Consumer<Bus> two = b -> {
            b.second = true;
            b.statePeriod = 0.1003;
        };
        // In 12.96 s the slower schedule, which begins first, has 130 frames and the other 129; in 40 s it has 399 and the other 400.
        Findings brief = bus(1, two.andThen(b -> b.seconds = 12.96));
        Findings whole = bus(2, two);
        assertTrue(RecordingPair.main(brief, KEY).periodSeconds() - RecordingPair.main(whole, KEY).periodSeconds() > 2e-4,
                "the case must tell: the main schedules are of two senders");
        Change period = find(Comparisons.recordings(brief, whole, false), Kind.PERIODS, "0x1D0");
        assertEquals(Standing.SAME, period.standing(), period.toString());
    }

    @Test
    void periodsAndClocks() {
        Change period = compared(Kind.PERIODS, "0x1D0", b -> b.statePeriod = 0.1005);
        assertEquals(Standing.CHANGED, period.standing());
        assertEquals(0.5, period.difference(), 3 * period.error());
        assertEquals("ms", period.unit());
        assertEquals(Standing.SAME, compared(Kind.PERIODS, "0x1D0", b -> b.statePeriod = 0.100002).standing());
        Change clock = find(Comparisons.recordings(bus(1, b -> { }), bus(2, b -> b.engineClock = 20), false), Kind.CLOCKS, "engine");
        assertEquals(Standing.CHANGED, clock.standing());
        assertEquals(51, clock.difference(), 3 * clock.error());
        assertEquals(Standing.SAME, find(Comparisons.recordings(bus(1, b -> { }), bus(2, b -> b.engineClock = -27), false),
                Kind.CLOCKS, "engine").standing(), "4 ppm is what warmth does");
    }

    @Test
    void values() {
        Change coolant = compared(Kind.VALUES, "coolant", b -> b.coolant = 92);
        assertEquals(Standing.CHANGED, coolant.standing());
        assertEquals(5, coolant.difference(), 3 * coolant.error());
        assertTrue(coolant.error() > 0);
        // Half a step of the bus is no difference.
        assertEquals(Standing.SAME, compared(Kind.VALUES, "coolant", b -> b.coolant = 87.4).standing());
    }

    @Test
    void damageLoadAndInstruments() {
        assertEquals(Standing.CHANGED, compared(Kind.DAMAGE, "", b -> b.damaged = 0.01).standing());
        assertEquals(Standing.SAME, compared(Kind.DAMAGE, "", b -> b.damaged = 0).standing());
        assertEquals(Standing.CHANGED, compared(Kind.INSTRUMENTS, "coolant gauge", b -> b.second = true).standing());
        assertEquals(Standing.SAME, compared(Kind.INSTRUMENTS, "coolant gauge", b -> { }).standing());
    }

    @Test
    void flurriesCountForLess() {
        Findings first = bus(1, b -> { });
        double[] evenly = new double[24];
        for (int i = 0; i < 24; i++) evenly[i] = 40.0 * i / 24;
        double[] flurry = new double[24];
        for (int i = 0; i < 24; i++) flurry[i] = 11 + i * 0.05;
        Rates.Counted none = new Rates.Counted(0, new double[0], first);
        Change even = Rates.compared(Kind.DAMAGE, "x", "", none, new Rates.Counted(24, evenly, first), "a minute", Origin.BUS);
        Change one = Rates.compared(Kind.DAMAGE, "x", "", none, new Rates.Counted(24, flurry, first), "a minute", Origin.BUS);
        assertEquals(Chance.counts(0, 40, 24, 40), even.chance(), 1e-12, "what comes evenly is told by the exact test");
        assertTrue(one.chance() > 0.05, "one bump of the road is one observation: " + one);
        assertEquals(even.difference(), one.difference());
        assertTrue(one.error() > 2 * even.error());
    }

    @Test
    void whatAnotherDriveMakesAsWellIsNoDifferenceOfTheBus() {
        Findings cold = bus(1, b -> b.coolant = 20);
        Findings warm = bus(2, b -> b.coolant = 88);
        Comparison open = Comparisons.recordings(cold, warm, false);
        Change coolant = find(open, Kind.VALUES, "coolant");
        assertEquals(Standing.CHANGED, coolant.standing());
        assertEquals(Origin.DRIVE, coolant.origin());
        assertFalse(open.differs(), "a warm engine is no other bus");
        assertTrue(open.undecided());
        Comparison told = Comparisons.recordings(cold, warm, true);
        assertEquals(Origin.BUS, find(told, Kind.VALUES, "coolant").origin());
        assertTrue(told.differs());
    }

    @Test
    void whatComesWithASecondSenderSaysSo() {
        Comparison c = Comparisons.recordings(bus(1, b -> { }), bus(2, b -> b.second = true), false);
        assertEquals(Origin.BUS, find(c, Kind.SENDERS, "0x1D0").origin());
        Change gauge = find(c, Kind.INSTRUMENTS, "coolant gauge");
        assertEquals(Origin.FOLLOWS, gauge.origin());
        assertTrue(gauge.says().endsWith("comes with the senders of state (0x1D0)"), gauge.says());
        assertEquals("calm", gauge.before());
        assertEquals("swings to and fro (two senders)", gauge.after());
        assertEquals(Origin.FOLLOWS, find(c, Kind.VALUES, "coolant").origin());
        assertTrue(c.differs());
    }

    @Test
    void meansStandWithUnitAndError() {
        Change coolant = compared(Kind.VALUES, "coolant", b -> { });
        assertTrue(coolant.before().matches("87 to 88\u00A0°C, mean 87\\.\\d+\u00A0±\u00A00\\.\\d+\u00A0°C"), coolant.before());
        Change lamp = compared(Kind.VALUES, "oil low", b -> { });
        assertEquals("always 0", lamp.before());
        Change period = compared(Kind.PERIODS, "0x1D0", b -> { });
        assertFalse(period.before().contains("±\u00A00.00000\u00A0"), "an error of nothing: " + period.before());
    }

    @Test
    void theExactTestsMeetPublishedFigures() {
        // R. A. Fisher, The Design of Experiments (1935), ch. 2: 4 of 8 cups all told rightly: 1 in 70, here two-sided.
        assertEquals(2 / 70.0, Chance.allOnOneSide(4, 4, 4), 1e-12);
        // Conditional on 10 events over equal times, 10 : 0 has the chance 2 / 2^10.
        assertEquals(2 / 1024.0, Chance.counts(10, 60, 0, 60), 1e-12);
        assertEquals(1, Chance.counts(0, 60, 0, 60));
        // Student's t: 2.262 is the two-sided 5 % point for 9 degrees of freedom, 1.960 that of the normal distribution.
        assertEquals(0.05, Chance.student(2.262, 1, 9), 1e-4);
        assertEquals(0.05, Chance.normal(1.959964, 1), 1e-6);
    }

    @Test
    void holmsStepsAreThoseOfHisPaper() {
        // S. Holm (1979): of chances 0.004, 0.012, 0.3 the adjusted ones are 3 x 0.004, 2 x 0.012 and 0.3.
        List<Change> drafts = new ArrayList<>();
        for (double p : new double[] {0.3, 0.003, 0.02}) {
            drafts.add(new Change(Kind.LOAD, "s", "", "a", "b", 1, 1, "", p, Standing.CHANGED, Origin.BUS, ""));
        }
        List<Change> out = Chance.together(drafts);
        assertEquals(List.of(0.3, 0.009, 0.04), out.stream().map(c -> Math.rint(c.chance() * 1e9) / 1e9).toList());
        assertEquals(List.of(Standing.SAME, Standing.CHANGED, Standing.UNDECIDED), out.stream().map(Change::standing).toList());
    }

    /** Every word that a layout can say counts: a lamp that goes dark instead of warning, a shut-down that waits longer. */
    @Test
    void noWordOfALayoutIsPassedOver() {
        String all = """
                bus: {name: a bus, coding: can-fd, rate: 125 kbit/s, data rate: 500 kbit/s}
                nodes: {unit: {clock within: 60 ppm, delay: 80 us, messages can be chosen: true}}
                messages:
                  state:
                    id: 0x1D0
                    from: unit
                    every: 100 ms
                    carries:
                      heat: {bits: 0..7, factor: 1.00001, unit: °C, changes at most: 3 per s, while driving: 84..91}
                      low: {bit: 8}
                instruments:
                  heat gauge: {shows: heat, from: 50, to: 130, travels at most: 60 % per s, time-out: {after: 2 s, then: 0 %}}
                  low lamp: {shows: low, lit when: 1, time-out: {after: 1 s, then: lit}}
                protections:
                  stop: {in: unit, wired to: low switch, does: stops it, after: 3 s, stands in for: low lamp}
                  cut: {in: unit, watches: heat, acts when: at least 115, does: cuts it}
                wires:
                  low lamp: {from: low switch, fitted: false}
                """;
        for (String[] word : new String[][] {{"name: a bus", "name: b bus"}, {"500 kbit", "1000 kbit"}, {"60 ppm", "30 ppm"},
            {"80 us", "90 us"}, {"chosen: true", "chosen: false"}, {"1.00001", "1.00002"}, {"3 per s", "4 per s"},
            {"84..91", "85..91"}, {"60 % per s", "70 % per s"}, {"then: 0 %", "then: hold"}, {"then: lit", "then: dark"},
            {"after: 3 s", "after: 9 s"}, {"at least 115", "at least 110"}, {"fitted: false", "fitted: true"},
            {"stands in for: low lamp", "note: none"}, {"to: low switch", "to: other switch"}}) {
            assertTrue(all.contains(word[0]), word[0]);
            Comparison c = Comparisons.layouts(Layouts.parse(all, "a"), Layouts.parse(all.replace(word[0], word[1]), "b"));
            assertEquals(1, c.changes().size(), word[0] + ": " + c.changes());
        }
    }

    @Test
    void everyLayoutOfTheDemonstrationsIsLikeItself() throws IOException {
        List<Path> layouts;
        try (Stream<Path> all = Files.walk(Path.of("captures"))) {
            layouts = all.filter(p -> p.toString().endsWith(".layout.yaml")).sorted().toList();
        }
        assertTrue(layouts.size() > 10, layouts.toString());
        for (Path p : layouts) assertEquals(List.of(), Comparisons.layouts(Layouts.load(p), Layouts.load(p)).changes(), p.toString());
    }

    @Test
    void layoutsWordByWord() {
        Comparison same = Comparisons.layouts(Layouts.parse(LAYOUT, "a"), Layouts.parse(LAYOUT, "b"));
        assertEquals(List.of(), same.changes());
        Comparison other = Comparisons.layouts(Layouts.parse(LAYOUT, "a"), Layouts.parse(LAYOUT.replace("every: 20 ms", "every: 10 ms")
                .replace("offset: -40", "offset: -50").replace("0x320", "0x321").replace("to: 130", "to: 120"), "b"));
        List<String> subjects = other.changes().stream().map(c -> c.standing().text() + " " + c.subject()).sorted().toList();
        assertEquals(List.of("came panel (0x321)", "changed coolant gauge", "changed coolant in state",
                "changed engine (0x0D0), every", "went panel (0x320)"), subjects);
    }
}
