package buswitness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Clashes;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.Decoded;
import buswitness.frames.FrameReader;
import buswitness.frames.MessageKey;
import buswitness.problem.NoticeLog;
import buswitness.schema.BusFormats;
import buswitness.senders.Senders;
import buswitness.simulate.Simulations;
import buswitness.simulate.TruthSink;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * LIN headers that several nodes answer by design are never called a clash, with no layout to say so; the same designs with
 * a node too many are.
 */
class LinByDesignTest {
    private static final long EVENT = MessageKey.of(0x30, 2);
    private static final long DIAGNOSIS = MessageKey.of(0x3D, 2);

    @TempDir
    Path folder;

    private ClashFindings judge(String scenario) throws IOException {
        Path file = folder.resolve("bus.scenario.yaml");
        Files.writeString(file, "rate: 19.2 kbit/s\nduration: 40 s\n" + scenario);
        FrameReader reader = new FrameReader(new FrameReader.Options("lin", 19_200, 1e6, BusFormats.builtIn("lin"),
                Double.NaN), 0, new NoticeLog(10));
        Simulations.run(Simulations.load(file), reader, TruthSink.NONE);
        Decoded decoded = reader.finish();
        return Clashes.judge(decoded.frames(), decoded.bus(), decoded.gaps(),
                Senders.find(decoded.frames(), decoded.bus(), decoded.gaps(), null), null);
    }

    private static List<String> notOne(ClashFindings findings) {
        return findings.messages().stream().filter(m -> m.verdict() != Verdict.ONE_SENDER)
                .map(m -> MessageKey.text(m.key()) + " " + m.verdict().text()).toList();
    }

    /** The layout's signals make the news; a bus without one shows constants, so that one is drawn here. */
    private String drawn(long seed, String twin) throws IOException {
        String layout = """
                bus: {coding: lin, rate: 19.2 kbit/s}
                nodes: [head, left, right, boot, mirror, twin]
                messages:
                  left door: {id: 0x21, from: left, length: 3, carries: {a: {bits: 8..15}, b: {bits: 16..23}}}
                  right door: {id: 0x22, from: right, length: 3, carries: {c: {bits: 8..15}, d: {bits: 16..23}}}
                  boot lid: {id: 0x23, from: boot, length: 3, carries: {e: {bits: 8..15}, f: {bits: 16..23}}}
                  door news: {id: 0x30, event for: [left door, right door, boot lid], length: 3}
                  mirror state: {id: 0x12, from: mirror, length: 2, carries: {g: {bits: 0..15}}}
                """;
        Files.writeString(folder.resolve("bus.layout.yaml"), layout);
        SplittableRandom random = new SplittableRandom(seed);
        StringBuilder text = new StringBuilder("layout: bus.layout.yaml\nseed: " + seed + "\nschedule:\n  master: head\n"
                + "  slots:\n    - {event: door news, of: [left door, right door, boot lid], takes: 15 ms}\n"
                + "    - {message: mirror state, takes: 15 ms}\nvalues:\n");
        for (char name = 'a'; name <= 'f'; name++) {
            text.append("  ").append(name).append(": {constant: ").append(random.nextInt(40, 200)).append(", noise: ")
                    .append(random.nextInt(1, 20)).append(", noise holds: ").append(random.nextInt(1, 9)).append("00 ms}\n");
        }
        text.append("  g: {wanders: {from: 500, by: 20, between: 0..1000}}\nnodes:\n  head: {clock: 300 ppm}\n");
        for (String node : new String[] {"left", "right", "boot", "mirror"}) {
            text.append("  ").append(node).append(": {clock: ").append(random.nextInt(-12_000, 12_000))
                    .append(" ppm, answers after: ").append(random.nextInt(40, 150)).append(" us}\n");
        }
        return text.append(twin).toString();
    }

    /** Collisions by the dozen on the shared header; nobody is accused, and what it is is told. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void eventTriggeredFramesAreNoClash(long seed) throws IOException {
        ClashFindings findings = judge(drawn(seed, ""));
        assertEquals(List.of(), notOne(findings), "seed " + seed);
        MessageFinding news = findings.message(EVENT);
        assertEquals(MessageFinding.EVENT_TRIGGERED, news.byDesign(), "seed " + seed);
        assertTrue(news.damaged() >= 5, "seed " + seed + ": " + news.damaged() + " collisions");
        assertTrue(news.schedules().size() >= 2, "seed " + seed + ": " + news.schedules());
        assertEquals(List.of(), findings.collisions());
        assertNull(findings.message(MessageKey.of(0x12, 2)).byDesign());
    }

    /** A second node that sends the left door's frame: the door's own header shows it, the shared one accuses nobody. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3})
    void aSecondDoorUnitIsFoundWhereItIsAsked(long seed) throws IOException {
        ClashFindings findings = judge(drawn(seed, "  twin: {clock: 15000 ppm, in place of: left, values: {a: 7, b: 250}}\n"));
        assertEquals(Verdict.ONE_SENDER, findings.message(EVENT).verdict());
        assertNotEquals(Verdict.ONE_SENDER, findings.message(MessageKey.of(0x21, 2)).verdict(), "seed " + seed);
        assertTrue(notOne(findings).stream().allMatch(t -> t.startsWith("0x21")), notOne(findings).toString());
    }

    private static String diagnosis(long seed, String request, String more) {
        SplittableRandom random = new SplittableRandom(seed);
        StringBuilder text = new StringBuilder("bus: {coding: lin}\nseed: " + seed + "\nschedule:\n  master: head\n  slots:\n"
                + "    - {message: 0x3C, takes: 12 ms}\n    - {message: 0x3D, takes: 12 ms}\nnodes:\n  head:\n"
                + "    clock: -200 ppm\n    sends: {ask: {id: 0x3C, length: 8, filler: " + request + "}}\n");
        for (int n = 1; n <= 3; n++) {
            text.append("  node ").append(n).append(": {clock: ").append(random.nextInt(-12_000, 12_000))
                    .append(" ppm, answers after: 60 us, sends: {say: {id: 0x3D, length: 8, filler: 0x1").append(n)
                    .append("}}}\n");
        }
        return text.append(more).toString();
    }

    @Test
    void nodesThatAnswerDiagnosisInTurnAreNoClash() throws IOException {
        for (long seed = 1; seed <= 4; seed++) {
            Files.writeString(folder.resolve("ask.layout.yaml"), """
                    bus: {coding: lin}
                    nodes: [head]
                    messages: {ask: {id: 0x3C, from: head, length: 8, carries: {to: {bits: 0..7}}}}
                    """);
            String text = diagnosis(seed, "0xFF", "").replace("    sends: {ask: {id: 0x3C, length: 8, filler: 0xFF}}\n", "");
            ClashFindings findings = judge("layout: ask.layout.yaml\nvalues: {to: {pages: [0x11, 0x12, 0x13]}}\n" + text);
            assertEquals(List.of(), notOne(findings), "seed " + seed);
            assertEquals(3, findings.message(DIAGNOSIS).senders().size(), "seed " + seed);
        }
    }

    /** Every node is meant by 7F: their answers lie one over the other, and nothing is wrong with that. */
    @Test
    void aRequestToEveryNodeIsNoClash() throws IOException {
        ClashFindings findings = judge(diagnosis(1, "0x7F", ""));
        assertTrue(findings.messages().stream().noneMatch(m -> m.verdict() == Verdict.TWO_SENDERS));
    }

    /** Two units with one diagnostic address, as where a second one was never given its own. */
    @Test
    void twoNodesWithOneAddressAreAClash() throws IOException {
        Files.writeString(folder.resolve("ask.layout.yaml"), """
                bus: {coding: lin}
                nodes: [head, one, twin]
                messages:
                  ask: {id: 0x3C, from: head, length: 8, carries: {to: {bits: 0..7}}}
                  say: {id: 0x3D, length: 8, carries: {by: {bits: 0..7}, part: {bits: 8..15}, count: {bits: 16..23}}}
                """);
        String twins = """
                nodes:
                  head: {clock: -200 ppm}
                  one: {clock: 3000 ppm, sends: {say: {values: {by: 0x11, part: 0x3C, count: {counts: {modulo: 256}}}}}}
                  twin: {clock: -9000 ppm, sends: {say: {values: {by: 0x11, part: 0x5A, count: 7}}}}
                """;
        ClashFindings findings = judge("layout: ask.layout.yaml\nvalues: {to: 17}\nschedule:\n  master: head\n  slots:\n"
                + "    - {message: ask, takes: 12 ms}\n    - {message: say, takes: 12 ms}\n" + twins.replace("0x11", "17"));
        assertNotEquals(Verdict.ONE_SENDER, findings.message(DIAGNOSIS).verdict());
    }
}
