package buswitness.predict;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.clashes.ClashFindings;
import buswitness.frames.FrameReader;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.problem.NoticeLog;
import buswitness.problem.Progress;
import buswitness.schema.Instrument;
import buswitness.schema.Layout;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import buswitness.simulate.TruthSink;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * A forecast's drive against {@code prove}, which has nothing but the level changes of the same drive; and against the
 * published bounds.
 */
class DriveTest {
    private static final double SECONDS = 24;

    private static SharedBus asDelivered() {
        return Merging.merge(Workshop.layouts(Workshop.AS_DELIVERED)).bus();
    }

    /** The same scenario through the decoder and all stages of {@code prove}. */
    static Findings prove(Segment segment, long seed, double seconds, DriveSetup.Meet meet) {
        Scenario drawn = DriveSetup.scenario(segment, seed, seconds, meet);
        // A tick of 1 us cannot tell the bits of a payload at 2 Mbit/s.
        Scenario scenario = segment.bus().isFlexible() ? drawn.withRecorder(drawn.recorder().withTick(25_000)) : drawn;
        NoticeLog notices = new NoticeLog(10);
        FrameReader reader = new FrameReader(
                new FrameReader.Options(segment.bus().coding(), segment.bus().bitsPerSecond(),
                        scenario.recorder().tickPicos(), segment.bus().format(), segment.bus().dataBitsPerSecond()), 0, notices);
        Simulations.run(scenario, reader, TruthSink.NONE);
        SharedBus bus = segment.bus();
        List<Instrument> watched = Drive.watched(bus);
        Layout layout = new Layout("", "", bus.coding(), bus.bitsPerSecond(), Double.NaN, bus.format(), segment.nodes(),
                bus.needs().stream().map(SharedBus.Described::message).toList(), watched, buswitness.schema.Fitting.NONE);
        return Analysis.judge(new AnalysisReading(scenario.info(), "bus", layout, false, reader.finish(),
                notices.kept(), notices.seen()), Progress.SILENT);
    }

    @Test
    void proveSeesTheSameOnTheRecordingOfTheSameDrive() {
        Segment segment = Segment.whole(asDelivered());
        int flapping = 0;
        for (long seed = 1; seed <= 2; seed++) {
            Drive drive = Drive.take(segment, seed, SECONDS, DriveSetup.Meet.BY_CHANCE);
            Findings findings = prove(segment, seed, SECONDS, DriveSetup.Meet.BY_CHANCE);
            assertEquals(ClashFindings.Answer.YES, findings.clashes().clash());
            assertEquals(drive.log().frames().wholeCount(), findings.frames().wholeCount(), 1, "one may be cut off");
            for (InstrumentFinding told : drive.instruments()) {
                InstrumentFinding seen = findings.instruments().instruments().stream()
                        .filter(i -> i.name().equals(told.name())).findFirst().orElseThrow();
                String where = "seed " + seed + ", " + told.name();
                assertEquals(told.symptom(), seen.symptom(), where);
                assertEquals(told.cause(), seen.cause(), where);
                assertEquals(told.reversals(), seen.reversals(), 1, where);
                assertEquals(told.swing(), seen.swing(), 1e-6 + 0.01 * told.swing(), where);
                if (told.lamp()) assertEquals(told.litShare(), seen.litShare(), 1e-3, where);
                if (told.flapping()) flapping++;
            }
        }
        assertTrue(flapping >= 5, "three instruments flap in nearly every drive, seen " + flapping);
    }

    /**
     * Other buses: the frames, and what a gauge shows of them, are those that the decoder reads from the wire. On a bus
     * that arbitrates through the whole frame nobody's frame breaks: the loser falls silent and sends again (SAE J1850,
     * from memory).
     */
    @ParameterizedTest
    @CsvSource({"j1850-vpw, 0x2835", "iso9141, 0x4810"})
    void otherBusesAreDrivenAsTheyAreRead(String coding, String id) {
        SharedBus bus = Workshop.merged("""
                bus: {coding: %s}
                nodes: [engine unit, gauge translator, dashboard]
                messages:
                  warmth:
                    id: %s
                    from: [engine unit, gauge translator]
                    read by: dashboard
                    every: 250 ms
                    length: 3
                    carries: {coolant temperature: {bits: 0..7, offset: -40, unit: °C, changes at most: 3 per s, while driving: {engine unit: -40, gauge translator: 84..91}}}
                instruments:
                  coolant gauge: {shows: coolant temperature, from: 50, to: 130, settles in: 0.8 s}
                """.formatted(coding, id)).bus();
        Segment segment = Segment.whole(bus);
        Drive drive = Drive.take(segment, 2, 20, DriveSetup.Meet.BY_CHANCE);
        Findings findings = prove(segment, 2, 20, DriveSetup.Meet.BY_CHANCE);
        assertEquals(Symptom.FLAPPING, drive.instruments().get(0).symptom());
        assertEquals(drive.log().frames().wholeCount(), findings.frames().wholeCount(), 1);
        assertEquals(drive.log().frames().key(5), findings.frames().key(5));
        assertEquals(drive.instruments().get(0).reversals(), findings.instruments().instruments().get(0).reversals(), 1);
        Drive met = Drive.take(segment, 2, 20, new DriveSetup.Meet(bus.clashing().get(0), true));
        assertEquals(0, met.log().damaged());
    }

    /**
     * Two error-active nodes with counters at 0 break 16 frames, each 8 up, before both are error
     * passive; the one with the recessive bit then errs once more, but its flag disturbs nobody and both get through. A third node's frames keep the bit clocks aligned (Bosch CAN 2.0, fault confinement rules 3 and 7; error passive above 127).
     */
    @Test
    void twoNodesThatBeginInTheSameBitBreakSixteenFrames() {
        SharedBus bus = Workshop.merged("""
                bus: {rate: 125 kbit/s}
                nodes: [a, b, c]
                messages:
                  m: {id: 0x1D8, from: [a, b], every: 200 ms, length: 4, carries: {v: {bits: 0..7, while driving: {a: 1, b: 200}}}}
                  k: {id: 0x300, from: c, every: 5 ms, length: 0}
                """).bus();
        long key = bus.clashing().get(0);
        for (long seed = 1; seed <= 5; seed++) {
            Drive drive = Drive.take(Segment.whole(bus), seed, 10, new DriveSetup.Meet(key, true));
            assertEquals(16, drive.log().damaged(key), "seed " + seed);
            assertEquals(1, drive.log().meetings(key));
            assertEquals(128, drive.log().mostErrors(0));
            assertTrue(drive.log().mostErrors(1) >= 136, "it sends the recessive bit and errs once more, quietly; and"
                    + " again a period later where the clocks hardly differ");
            assertEquals(0, drive.log().busOffs(0) + drive.log().busOffs(1));
            assertEquals(16, drive.clashes().collisions().get(0).frames().size());
            assertEquals(128, drive.clashes().collisions().get(0).errorCounter());
        }
    }

    /**
     * The same on CAN FD, where payloads part at the data rate (fault confinement is that of classical CAN, Bosch CAN FD 1.0,
     * clause 7); and prove, which has the wire alone, counts the same frames and the same needle.
     */
    @Test
    void flexibleFramesBreakSixteenTimesToo() {
        SharedBus bus = Workshop.merged("""
                bus: {coding: can-fd, rate: 500 kbit/s, data rate: 2 Mbit/s}
                nodes: [a, b, c]
                messages:
                  m: {id: 0x1D8, from: [a, b], every: 200 ms, length: 10, carries: {v: {bits: 0..7, while driving: {a: 1, b: 200}}}}
                  k: {id: 0x300, from: c, every: 5 ms, length: 0}
                instruments:
                  needle: {shows: v, from: 0, to: 255, settles in: 0.5 s}
                """).bus();
        long key = bus.clashing().get(0);
        Segment segment = Segment.whole(bus);
        for (long seed = 1; seed <= 3; seed++) {
            DriveSetup.Meet meet = new DriveSetup.Meet(key, true);
            Drive drive = Drive.take(segment, seed, 10, meet);
            assertEquals(16, drive.log().damaged(key), "seed " + seed);
            assertEquals(128, drive.clashes().collisions().get(0).errorCounter());
            assertEquals(22, drive.clashes().collisions().get(0).breakBit(), "1 = 0000 0001 and 200 = 1100 1000");
            Findings findings = prove(segment, seed, 10, meet);
            assertEquals(drive.log().frames().wholeCount(), findings.frames().wholeCount(), 1);
            assertEquals(12, findings.frames().dataLength(lastOf(findings, key)), "10 bytes go in a frame of 12");
            assertEquals(drive.log().damaged(), findings.frames().damagedCount());
            assertEquals(drive.instruments().get(0).reversals(), findings.instruments().instruments().get(0).reversals(), 1);
        }
        assertEquals("", Predictions.of(List.of(buswitness.schema.Layouts.load(java.nio.file.Path.of(
                "captures/drive-line.layout.yaml"))), Workshop.SHORT, Progress.SILENT).notSimulated());
    }

    private static int lastOf(Findings findings, long key) {
        for (int i = findings.frames().size() - 1; i >= 0; i--) {
            if (findings.frames().isWhole(i) && findings.frames().key(i) == key) return i;
        }
        throw new AssertionError("no whole frame");
    }

    /** With equal periods T and clocks d apart two schedules meet every T / d: 0.2 s / 100 ppm = 2000 s. */
    @Test
    void meetingsComeAsOftenAsTheClocksDrift() {
        assertEquals(0.2, Meetings.rhythm(0.2, 0.2));
        assertEquals(0.1, Meetings.rhythm(0.2, 0.3), 1e-12, "differences of 2 and 3 are multiples of 1");
        assertEquals(0.1, Meetings.rhythm(0.5, 0.2), 1e-12);
        assertTrue(Double.isNaN(Meetings.rhythm(0.1, 0.1 * Math.sqrt(2))));
        SharedBus bus = asDelivered();
        List<Drive> some = List.of(Drive.take(Segment.whole(bus), 1, 5, DriveSetup.Meet.BY_CHANCE));
        MeetingOutlook m = Meetings.of(bus, 1, some, List.of()).get(1);
        double drift = Math.abs(DriveSetup.clockPpm(bus, "engine unit", 1) - DriveSetup.clockPpm(bus, "gauge translator", 1));
        assertEquals(0.2 / (drift * 1e-6), m.soonest().every().median(), 1e-6);
        assertEquals(0.2 / 160e-6, m.soonest().soonestSeconds(), 1e-6, "60 ppm and 100 ppm");
    }

    /** No simulated frame of a healthy bus takes longer than the analysis allows, at low and at high load. */
    /**
     * LIN, where a master asks: two nodes answer one header, their bytes lie one over the other. The decoder sees the
     * same frames, and the same of the gauge, on the recording of that drive.
     */
    @Test
    void twoAnswersToOneHeaderOnLin() {
        String text = """
                bus: {coding: lin, rate: 9.6 kbit/s}
                nodes: [NAME, dashboard]
                messages:
                  warmth:
                    id: 0x12
                    from: NAME
                    read by: dashboard
                    every: 100 ms
                    length: 3
                    carries: {coolant temperature: {bits: 8..15, offset: -40, unit: °C, while driving: VALUE}}
                  NAME state: {id: ID, from: NAME, every: 200 ms, length: 2}
                """;
        SharedBus bus = Workshop.merged(text.replace("NAME", "old sender").replace("VALUE", "-20").replace("ID", "0x21"),
                text.replace("NAME", "translator").replace("VALUE", "84..90").replace("ID", "0x22")
                + "instruments: {coolant gauge: {shows: coolant temperature, from: 50, to: 130, settles in: 0.8 s}}\n").bus();
        Segment segment = Segment.whole(bus);
        Drive drive = Drive.take(segment, 2, 20, DriveSetup.Meet.BY_CHANCE);
        Findings findings = prove(segment, 2, 20, DriveSetup.Meet.BY_CHANCE);
        // 200 headers of the disputed message, and 100 of each of the others. Where every dominant bit of one answer lies on
        // a dominant bit of the other, that other gets through whole: -20 °C is 0x14, a part of 84 °C, 0x7C.
        assertEquals(400, drive.log().frames().wholeCount() + drive.log().damaged(), 3);
        assertTrue(drive.log().damaged() > 50, drive.log().damaged() + " damaged");
        assertEquals(drive.log().frames().wholeCount(), findings.frames().wholeCount(), 1);
        assertEquals(drive.log().damaged(), findings.frames().damagedCount(), 1);
        assertEquals(findings.instruments().instruments().get(0).symptom(), drive.instruments().get(0).symptom());
        assertTrue(drive.instruments().get(0).symptom() != Symptom.NONE, "the driver sees it");
        // With one of them silenced everything is whole and the gauge moves.
        Drive cured = Drive.take(Segment.whole(bus.without("old sender")), 2, 20, DriveSetup.Meet.BY_CHANCE);
        assertEquals(0, cured.log().damaged());
        assertEquals(Symptom.NONE, cured.instruments().get(0).symptom());
    }

    /** Three senders are three pairs, and each of the three nodes has its fate. */
    @Test
    void threeSendersMeetInPairs() {
        String node = "bus: {coding: can, rate: 125 kbit/s}\nnodes: [NAME, b0]\nmessages:\n  m: {id: 0x100, from: NAME,"
                + " read by: b0, every: 100 ms, length: 2, carries: {v NAME: {bits: 0..7, while driving: VALUE}}}\n";
        List<String> texts = new ArrayList<>();
        for (int i = 1; i <= 3; i++) texts.add(node.replace("NAME", "n" + i).replace("VALUE", String.valueOf(i * 60)));
        SharedBus bus = Workshop.merged(texts.toArray(String[]::new)).bus();
        DriveSetup.Meet meet = new DriveSetup.Meet(bus.clashing().get(0), true);
        List<Drive> ordinary = List.of(Drive.take(Segment.whole(bus), 1, 5, DriveSetup.Meet.BY_CHANCE));
        MeetingOutlook m = Meetings.of(bus, 1, ordinary, List.of(Drive.take(Segment.whole(bus), 1, 10, meet))).get(0);
        assertEquals(List.of("n1", "n2", "n3"), m.nodes());
        assertEquals(List.of("n1 n2", "n1 n3", "n2 n3"), m.pairs().stream().map(p -> p.first() + " " + p.second()).toList());
        assertEquals(List.of("n1", "n2", "n3"), m.fates().stream().map(MeetingOutlook.Fate::node).toList());
        assertTrue(m.headOn() == 1 && m.damaged().least() >= 16, "all three began in the same bit: " + m);
    }

    @Test
    void remediesOnABusyBusAreDrivenForLess() {
        assertEquals(new PredictOptions.Trial(5, 60), PredictOptions.USUAL.trial(10, 100), "the workshop's");
        // 40 remedies at 1400 frames a second: 2e6 / 56000 = 35.7 s in three drives.
        assertEquals(new PredictOptions.Trial(3, 12), PredictOptions.USUAL.trial(40, 1400));
        assertEquals(new PredictOptions.Trial(2, 60), new PredictOptions(1, 60, 1).trial(10, 100));
    }

    @Test
    void noFrameIsLaterThanItsWorstCase() {
        check(Merging.merge(Workshop.layouts(Workshop.SET_UP)).bus(), 0.2);
        Random random = new Random(11);
        StringBuilder text = new StringBuilder("bus: {rate: 125 kbit/s}\nnodes: [a, b, c, d]\nmessages:\n");
        int[] periods = {10, 10, 20, 20, 20, 50, 50, 100, 100, 100};
        for (int i = 0; i < periods.length; i++) {
            text.append("  m").append(i).append(": {id: ").append(16 + 7 * i).append(", from: ")
                    .append((char) ('a' + random.nextInt(4))).append(", every: ").append(periods[i])
                    .append(" ms, length: 8, carries: {v: {bits: 0..63, while driving: {counts: 4096}}}}\n");
        }
        SharedBus busy = Workshop.merged(text.toString()).bus();
        assertTrue(OnPaper.load(busy).most() > 0.4, "load " + OnPaper.load(busy));
        check(busy, 0.3);
    }

    private static void check(SharedBus bus, double leastShare) {
        List<ResponseTime> responses = OnPaper.responses(bus);
        double closest = 0;
        for (long seed = 1; seed <= 3; seed++) {
            Drive drive = Drive.take(Segment.whole(bus), seed, 20, DriveSetup.Meet.BY_CHANCE);
            assertEquals(0, drive.log().damaged());
            for (ResponseTime r : responses) {
                double took = drive.log().slowestSeconds(r.node(), r.key());
                double bound = r.responseSeconds() - r.jitterSeconds();
                assertTrue(took <= bound, r + " took " + took);
                closest = Math.max(closest, took / bound);
            }
        }
        assertTrue(closest > leastShare, "the bound is never even nearly reached: " + closest);
    }

    /** Same layouts, same seed: the same drive to the last figure. */
    @Test
    void theSameSeedIsTheSameDrive() {
        Segment segment = Segment.whole(asDelivered());
        Drive one = Drive.take(segment, 5, 10, DriveSetup.Meet.BY_CHANCE);
        Drive two = Drive.take(segment, 5, 10, DriveSetup.Meet.BY_CHANCE);
        Drive other = Drive.take(segment, 6, 10, DriveSetup.Meet.BY_CHANCE);
        assertEquals(one.log().frames().size(), two.log().frames().size());
        boolean differs = false;
        for (int i = 0; i < one.log().frames().size(); i++) {
            assertEquals(one.log().frames().startPicos(i), two.log().frames().startPicos(i));
            differs |= i >= other.log().frames().size()
                    || one.log().frames().startPicos(i) != other.log().frames().startPicos(i);
        }
        assertTrue(differs);
    }

    /** A function that watches a value with two senders acts where the false one says so for long enough. */
    @Test
    void aProtectionActsOnAFalseValue() {
        String layout = """
                bus: {rate: 125 kbit/s}
                nodes: [a, b, engine unit]
                messages:
                  m: {id: 0x1D8, from: [a%s], every: 200 ms, length: 1, carries: {low: {bit: 0, while driving: {a: 1, b: 0}}}}
                protections:
                  shut-down: {in: engine unit, watches: low, acts when: 1, does: stops the engine, after: 500 ms}
                """;
        ProtectionOutlook alone = outlook(String.format(layout, ""));
        assertEquals(3, alone.acts(), "its one sender says so all along");
        ProtectionOutlook both = outlook(String.format(layout, ", b"));
        assertEquals(0, both.acts(), "the other denies it again before 500 ms are over");
        assertEquals(2, both.carriers().size());
        assertTrue(both.longest().most() < 0.25);
    }

    private static ProtectionOutlook outlook(String layout) {
        SharedBus bus = Workshop.merged(layout).bus();
        List<Drive> drives = List.of(1L, 2L, 3L).stream()
                .map(seed -> Drive.take(Segment.whole(bus), seed, 10, DriveSetup.Meet.BY_CHANCE)).toList();
        ProtectionOutlook outlook = Outlooks.protections(bus, drives).get(0);
        assertNotNull(outlook.protection().watch());
        return outlook;
    }

    /** What prove calls the bus after each remedy that claims to leave no clash, gateways' two sides included. */
    @Test
    void everyRemedyHoldsBeforeProve() {
        SharedBus bus = asDelivered();
        Forecast forecast = Predictions.of(Workshop.layouts(Workshop.AS_DELIVERED), Workshop.SHORT, Progress.SILENT);
        List<Candidate> candidates = Candidates.of(bus);
        int cured = 0;
        for (Candidate c : candidates) {
            Tried tried = forecast.remedies().stream().filter(t -> t.steps().equals(c.steps())).findFirst().orElseThrow();
            Findings findings = prove(c.after(), 3, 12, DriveSetup.Meet.BY_CHANCE);
            assertEquals(tried.clashesLeft() > 0 ? ClashFindings.Answer.YES : ClashFindings.Answer.NO,
                    findings.clashes().clash(), c.steps().toString());
            if (c.behind() != null) {
                assertEquals(ClashFindings.Answer.NO, prove(c.behind(), 3, 12, DriveSetup.Meet.BY_CHANCE).clashes().clash());
            }
            for (InstrumentFinding i : findings.instruments().instruments()) {
                boolean served = bus.instruments().stream().anyMatch(k -> k.name().equals(i.name()))
                        && !tried.unserved().contains(i.name());
                if (served) assertEquals(Symptom.NONE, i.symptom(), c.steps() + " " + i.name());
            }
            if (tried.clashesLeft() == 0) cured++;
        }
        assertTrue(cured >= 8, "remedies that end the clash: " + cured);
        assertFalse(forecast.remedies().isEmpty());
    }
}
