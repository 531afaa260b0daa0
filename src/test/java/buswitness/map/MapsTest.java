package buswitness.map;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.capture.RecordingInfo;
import buswitness.frames.Decoded;
import buswitness.frames.Mark;
import buswitness.frames.MessageKey;
import buswitness.problem.Progress;
import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Buses made at the level of frames, with known senders, habits and answers. */
class MapsTest {
    private static Findings judged(FrameLogs bus) {
        return Analysis.judge(reading(bus), Progress.SILENT);
    }

    private static AnalysisReading reading(FrameLogs bus) {
        FrameLogs.Made made = bus.make();
        RecordingInfo info = new RecordingInfo("made", "made", "", 1e5, List.of("bus"), List.of());
        return new AnalysisReading(info, "bus", null, false, new Decoded(made.bus(), made.log(), made.gaps()), List.of(), 0);
    }

    private static BusMap map(FrameLogs bus) {
        return Maps.draw(List.of(judged(bus)), List.of(), null, null);
    }

    private static MapMessage message(BusMap map, int id) {
        MapMessage m = map.message(MessageKey.can(id, false));
        assertNotNull(m, "0x" + Integer.toHexString(id));
        return m;
    }

    @Test
    void sendersAreGroupedByClockAndWire() {
        FrameLogs bus = new FrameLogs(125_000, 60, 5).wire(1e-7);
        bus.node(40, 0.3, 40e-6).asymmetry(30).every(0x100, 0.05, 0.003, Payloads.constant(1)).every(0x110, 0.1, 0.021,
                Payloads.constant(2));
        bus.node(-35, 0.3, 40e-6).asymmetry(-25).every(0x200, 0.05, 0.011, Payloads.constant(3)).every(0x210, 0.2, 0.047,
                Payloads.constant(4));
        BusMap map = map(bus);
        assertEquals(List.of(0x100L, 0x110L), ids(map.senders().get(0)));
        assertEquals(List.of(0x200L, 0x210L), ids(map.senders().get(1)));
        assertEquals("A", map.senders().get(0).label());
        assertEquals(0.05, message(map, 0x200).mainRhythm().periodSeconds(), 1e-5);
        assertEquals(Sending.CYCLIC, message(map, 0x200).sending());
    }

    private static List<Long> ids(MapSender s) {
        return s.keys().stream().map(MessageKey::identifier).toList();
    }

    /** Twins: clocks 0.3 ppm apart, wire alike. Whoever cannot tell must not say. */
    @Test
    void nobodyIsToldApartOrTogetherWithoutEvidence() {
        FrameLogs bus = new FrameLogs(125_000, 12, 6).table(0.001);
        bus.node(3, 2, 1e-3).every(0x100, 0.1, 0.003, Payloads.constant(1));
        bus.node(5, 2, 1e-3).every(0x200, 0.1, 0.041, Payloads.constant(3));
        BusMap map = map(bus);
        assertTrue(map.senders().stream().noneMatch(s -> s.keys().size() > 1), map.senders().toString());
    }

    @Test
    void anAnswerIsFoundWithItsDelayAndAChance() {
        SplittableRandom random = new SplittableRandom(9);
        double[] asks = new double[60];
        double[] answers = new double[60];
        for (int i = 0; i < asks.length; i++) {
            asks[i] = 0.5 + i * 0.9 + random.nextDouble() * 0.5;
            answers[i] = asks[i] + 0.004 + random.nextDouble() * 0.0004;
        }
        FrameLogs bus = new FrameLogs(125_000, 60, 7);
        bus.node(10).every(0x080, 0.02, 0.001, Payloads.slow(4, 50, 2, true)).at(0x300, asks, Payloads.constant(1, 2));
        bus.node(-60).every(0x090, 0.05, 0.013, Payloads.slow(4, 90, 2, true)).at(0x310, answers, Payloads.constant(7));
        BusMap map = map(bus);
        Answer answer = map.answers().stream().filter(a -> a.answers() == MessageKey.can(0x310, false)).findFirst().orElseThrow();
        assertEquals(MessageKey.can(0x300, false), answer.asks());
        assertTrue(answer.delaySeconds() > 0.002 && answer.delaySeconds() < 0.006, answer.toString());
        assertTrue(answer.followed() >= 55 && answer.logChance() < -20, answer.toString());
        assertTrue(map.answers().stream().noneMatch(a -> a.answers() == MessageKey.can(0x300, false)), "nobody asks 0x300");
    }

    /** Two messages at random instants, independent of each other: no answer. */
    @Test
    void chanceMeetingsAreNoAnswers() {
        for (int seed = 0; seed < 6; seed++) {
            FrameLogs bus = new FrameLogs(125_000, 60, 100 + seed);
            bus.node(10).every(0x080, 0.02, 0.001, Payloads.constant(1)).onEvent(0x300, 1, 0, Payloads.constant(1));
            bus.node(-60).every(0x090, 0.05, 0.013, Payloads.constant(2)).onEvent(0x310, 1, 0, Payloads.constant(7));
            assertEquals(List.of(), map(bus).answers(), "seed " + seed);
        }
    }

    @Test
    void restsOrdersAndWhatDisappearsTogether() {
        FrameLogs bus = new FrameLogs(125_000, 40, 8);
        bus.node(10).alive(0, 20).every(0x100, 0.05, 0.001, Payloads.constant(1));
        bus.node(10).alive(25, 40).every(0x100, 0.05, 0.001, Payloads.constant(1));
        bus.node(-40).alive(0, 20).every(0x200, 0.1, 0.013, Payloads.constant(2)).every(0x210, 0.1, 0.031, Payloads.constant(2));
        bus.node(-40).alive(25.4, 30).every(0x200, 0.1, 0.013, Payloads.constant(2)).every(0x210, 0.1, 0.031, Payloads.constant(2));
        bus.node(-40).alive(36, 40).every(0x200, 0.1, 0.013, Payloads.constant(2)).every(0x210, 0.1, 0.031, Payloads.constant(2));
        BusMap map = map(bus);
        assertEquals(1, map.rests().size(), map.rests().toString());
        assertEquals(20, map.rests().get(0).fromSeconds(), 0.1);
        assertEquals(25, map.rests().get(0).untilSeconds(), 0.1);
        Order start = map.orders().stream().filter(Order::start).findFirst().orElseThrow();
        assertEquals(MessageKey.can(0x100, false), start.steps().get(0).key());
        assertEquals(1, map.together().size(), map.together().toString());
        assertEquals(List.of(MessageKey.can(0x200, false), MessageKey.can(0x210, false)), map.together().get(0).keys());
        Span last = map.together().get(0).spans().get(map.together().get(0).spans().size() - 1);
        assertEquals(30, last.fromSeconds(), 0.2);
        assertEquals(36, last.untilSeconds(), 0.2);
    }

    /** One wandering quantity on two messages: second = 2 * first + 10 on the wire. */
    private static FrameLogs.Payload wandering(long seed, int factor, int offset) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] level = new double[700];
        for (int i = 1; i < level.length; i++) {
            double next = level[i - 1] + random.nextDouble() * 8 - 4;
            level[i] = Math.abs(next) > 38 ? level[i - 1] : next;
        }
        return (count, seconds, unused) -> {
            double at = seconds * 10;
            int k = (int) at;
            double value = level[k] + (at - k) * (level[k + 1] - level[k]);
            return new byte[] {(byte) (int) Math.round(factor * (50 + value) + offset)};
        };
    }

    @Test
    void aValueOnTwoMessagesIsLinked() {
        FrameLogs bus = new FrameLogs(125_000, 60, 31);
        bus.node(10).every(0x100, 0.02, 0.001, wandering(1, 1, 0));
        bus.node(-60).every(0x200, 0.02, 0.013, wandering(1, 2, 10));
        List<Link> links = map(bus).links();
        assertEquals(1, links.size(), links.toString());
        Link link = links.get(0);
        assertEquals(MessageKey.can(0x100, false), link.firstMessage());
        assertEquals(MessageKey.can(0x200, false), link.secondMessage());
        assertEquals(2, link.factor(), 0.05, link.toString());
        assertEquals(10, link.offset(), 4, link.toString());
    }

    @Test
    void independentValuesAreNotLinked() {
        for (int seed = 0; seed < 6; seed++) {
            FrameLogs bus = new FrameLogs(125_000, 60, 40 + seed);
            bus.node(10).every(0x100, 0.02, 0.001, wandering(100 + seed, 1, 0));
            bus.node(-60).every(0x200, 0.02, 0.013, wandering(200 + seed, 2, 10));
            assertEquals(List.of(), map(bus).links(), "seed " + seed);
        }
    }

    /** 0x210 is of another node and falls silent too, as a partner's does: told, and not called the unplugged node's own. */
    @Test
    void whatFallsSilentWithANodeIsNotAllItsOwn() {
        AnalysisReading without = reading(unplugged(51, false));
        Findings both = Analysis.judge(reading(unplugged(50, true)), List.of(new Analysis.Unplugged("door unit", without)),
                Progress.SILENT);
        Dependence d = Maps.draw(List.of(both), List.of(), null, null).dependences().get(0);
        assertEquals("door unit", d.node());
        TreeSet<Long> silent = new TreeSet<>(d.own());
        silent.addAll(d.depend());
        assertEquals(new TreeSet<>(List.of(0x100L, 0x110L, 0x120L, 0x210L).stream().map(id -> MessageKey.can(id.intValue(), false))
                .toList()), silent);
        assertFalse(d.own().isEmpty() || d.own().contains(MessageKey.can(0x210, false)), d.toString());
        assertTrue(d.depend().contains(MessageKey.can(0x210, false)), d.toString());
    }

    private static FrameLogs unplugged(int seed, boolean there) {
        FrameLogs bus = new FrameLogs(125_000, 60, seed).wire(1e-7);
        if (there) {
            bus.node(40, 0.3, 40e-6).asymmetry(30).every(0x100, 0.05, 0.003, Payloads.constant(1))
                    .every(0x110, 0.1, 0.021, Payloads.constant(2)).every(0x120, 0.05, 0.033, Payloads.constant(2));
        }
        FrameLogs.Node other = bus.node(-35, 0.3, 40e-6).asymmetry(-25).every(0x200, 0.05, 0.011, Payloads.constant(3))
                .every(0x220, 0.1, 0.017, Payloads.constant(3));
        if (there) other.every(0x210, 0.2, 0.047, Payloads.constant(4));
        return bus;
    }

    /** The worked example against its scenario: bits, scale and offset of three things that were done and seen. */
    @Test
    void learnsByDoing() {
        BusMap map = LearningVan.map();
        Learned reverse = learned(map, "reverse");
        assertEquals("", reverse.says());
        assertEquals(MessageKey.can(0x2B0, false), reverse.candidates().get(0).key());
        assertEquals(5, reverse.candidates().get(0).field().firstBit());
        assertTrue(reverse.candidates().get(0).logChance() < -4);
        // Gauge: 0 % at 30 degrees, 100 % at 110; raw number * 0.75 - 40 degrees: % = 0.9375 * number - 87.5.
        Learned.Candidate gauge = learned(map, "coolant gauge").candidates().get(0);
        assertEquals(MessageKey.can(0x1D0, false), gauge.key());
        assertEquals(0.9375, gauge.factor(), 3 * gauge.factorError());
        assertEquals(-87.5, gauge.offset(), 3 * gauge.offsetError());
        Learned.Candidate speed = learned(map, "vehicle speed").candidates().get(0);
        assertTrue(speed.field().lowByteFirst() && speed.field().firstBit() == 16 && speed.field().width() == 16, speed.toString());
        assertEquals(0.01, speed.factor(), 3 * speed.factorError());
        assertFalse(learned(map, "lights").says().isEmpty(), "one switching proves nothing");
    }

    /** What nobody on the bus answers to is not pinned on the likeliest bit. */
    @Test
    void whatHasNoBitIsNotLearned() {
        Findings findings = LearningVan.map().first();
        List<Deed> deeds = List.of(new Deed("horn", "", true, 3, 6.1, Double.NaN, Double.NaN),
                new Deed("horn", "", true, 17, 18.5, Double.NaN, Double.NaN), new Deed("horn", "", true, 33, 36, Double.NaN,
                Double.NaN));
        Learned horn = Maps.draw(List.of(findings), List.of(deeds), null, null).learned().get(0);
        assertFalse(horn.says().isEmpty(), horn.toString());
    }

    private static Learned learned(BusMap map, String what) {
        return map.learned().stream().filter(l -> l.what().equals(what)).findFirst().orElseThrow();
    }

    @Test
    void marksAreUnderstoodWhereTheySayWhatWasDone() {
        List<Deed> deeds = Deeds.ofMarks(List.of(new Mark(1_000_000_000_000L, "reverse engaged"),
                new Mark(2_500_000_000_000L, "reverse  released"), new Mark(3_000_000_000_000L, "coolant gauge at half"),
                new Mark(4_000_000_000_000L, "speed at 52.5 km/h"), new Mark(5_000_000_000_000L, "coffee")));
        assertEquals(List.of(new Deed("coolant gauge", "%", false, 3, 3, 50, 50), new Deed("speed", "km/h", false, 4, 4, 52.5, 52.5)),
                deeds.stream().filter(d -> !d.state()).toList());
        Deed reverse = deeds.stream().filter(Deed::state).findFirst().orElseThrow();
        assertEquals(1, reverse.fromSeconds());
        assertEquals(2.5, reverse.untilSeconds());
        assertEquals(3, deeds.size());
    }

    /** Two recordings of one bus: a message of the second alone goes to the sender whose others it shares. */
    @Test
    void severalRecordingsMakeOneMap() {
        FrameLogs off = new FrameLogs(125_000, 40, 21).wire(1e-7);
        off.node(40).asymmetry(30).every(0x100, 0.05, 0.003, Payloads.constant(1)).every(0x110, 0.05, 0.013, Payloads.constant(1));
        FrameLogs on = new FrameLogs(125_000, 40, 22).wire(1e-7);
        on.node(41).asymmetry(30).every(0x100, 0.05, 0.003, Payloads.constant(9)).every(0x110, 0.05, 0.013, Payloads.constant(1))
                .every(0x120, 0.05, 0.023, Payloads.constant(5));
        on.node(-60).asymmetry(-30).every(0x300, 0.05, 0.031, Payloads.constant(5));
        BusMap map = Maps.draw(List.of(judged(off), judged(on)), List.of(), null, null);
        assertEquals(List.of(0x100L, 0x110L, 0x120L), ids(map.senders().get(0)));
        assertEquals(List.of(0x300L), ids(map.senders().get(1)));
        assertEquals(0, message(map, 0x300).seenIn().get(0));
        assertTrue(message(map, 0x300).seenIn().get(1) > 700);
    }

    /** The examples of captures/done-format.md say the same things as sentences and as a table. */
    @Test
    void theExamplesOfTheDocumentAreUnderstood(@org.junit.jupiter.api.io.TempDir java.nio.file.Path folder)
            throws java.io.IOException {
        String page = java.nio.file.Files.readString(java.nio.file.Path.of("captures/done-format.md"));
        String yaml = page.split("```yaml\n")[1].split("```")[0];
        String csv = page.substring(page.indexOf("```\nwhat,from_s") + 4).split("```")[0];
        List<Deed> sentences = Deeds.load(java.nio.file.Files.writeString(folder.resolve("a.yaml"), yaml));
        List<Deed> table = Deeds.load(java.nio.file.Files.writeString(folder.resolve("a.csv"), csv));
        assertEquals(5, sentences.size(), "reverse on and off at two instants are one");
        assertEquals(3, table.size());
        assertTrue(sentences.containsAll(table), sentences + " and " + table);
    }
}
