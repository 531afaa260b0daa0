package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * What the simulator makes of LIN's other frames and of its sleep: LIN 2.2A clauses 2.3.3 (rules of event-triggered and
 * sporadic frames from memory), 2.6 (seen in a secondary source) and 4.2 (from memory).
 */
class LinFramesTest {
    private static WireProbe run(String schedule, String values, String nodes) {
        return WireProbe.of(ScenarioReader.parse("bus: {coding: lin}\nrate: 10 kbit/s\nduration: 3 s\nseed: 4\nschedule:\n"
                + "  master: head\n" + schedule.indent(2) + "nodes:\n" + nodes.indent(2) + values
                + "recorder: {tick: 1 ns}\n", "test", Path.of("captures")));
    }

    private static List<String> told(WireProbe probe) {
        List<String> out = new ArrayList<>();
        for (FrameTruth frame : probe.frames) {
            StringBuilder text = new StringBuilder(Math.round(frame.startPicos() * 1e-9) + " ms");
            for (FrameTruth.Sender s : frame.senders()) {
                text.append(' ').append(s.node()).append(' ').append(MessageKey.text(s.key()))
                        .append(s.completed() ? "" : "!");
            }
            out.add(text.toString());
        }
        return out;
    }


    /** Both doors change at once: their answers to 0x30 collide and the master asks each; one alone answers whole. */
    @Test
    void eventTriggeredFrames() {
        WireProbe probe = WireProbe.of(Simulations.load(Path.of("captures/lin-shared.scenario.yaml")));
        List<FrameTruth> frames = probe.frames;
        int collisions = 0;
        int alone = 0;
        for (int i = 0; i < frames.size(); i++) {
            List<FrameTruth.Sender> by = frames.get(i).senders();
            if (by.isEmpty() || MessageKey.identifier(by.get(0).key()) != 0x30) continue;
            // Protected identifiers of 0x21 and 0x22, from the published table: 61 and E2.
            for (FrameTruth.Sender s : by) {
                assertEquals(s.node().startsWith("left") ? 0x61 : 0xE2, s.data()[0] & 0xFF, s.node());
            }
            if (by.size() == 1) {
                assertTrue(frames.get(i).whole());
                alone++;
                continue;
            }
            collisions++;
            assertTrue(!frames.get(i).whole());
            assertEquals("0x21", MessageKey.text(frames.get(i + 1).senders().get(0).key()));
            assertEquals("0x22", MessageKey.text(frames.get(i + 2).senders().get(0).key()));
            // 61 and E2 one over the other: 60, lowest bit first after break, delimiter, two bytes, and the start bit.
            double bit = 1e12 / 19_200 * 1.0007;
            long answer = frames.get(i).startPicos() + Math.round(34 * bit + 95e6);
            assertEquals("000000110", probe.bits(answer, bit * 0.9995, 9));
        }
        assertTrue(collisions >= 3 && alone >= 3, collisions + " collisions, " + alone + " alone");
    }

    @Test
    void sporadicSlotsStayEmptyWithoutNews() {
        List<String> told = told(run("slots: [{sporadic: [0x05, 0x06], takes: 20 ms}]", "", """
                head:
                  clock: 0 ppm
                  sends:
                    one: {id: 0x05, length: 1, filler: 7}
                    two: {id: 0x06, length: 1, filler: 7}
                """));
        assertEquals(List.of(), told.stream().filter(t -> t.contains("0x")).toList());
        WireProbe demo = WireProbe.of(Simulations.load(Path.of("captures/lin-shared.scenario.yaml")));
        // Step lamps change four times, the lock three; values held while the bus slept come once.
        assertEquals(4, demo.frames.stream().flatMap(f -> f.senders().stream()).filter(s -> s.key() == MessageKey.of(0x15, 2))
                .count());
        assertEquals(2, demo.frames.stream().flatMap(f -> f.senders().stream()).filter(s -> s.key() == MessageKey.of(0x16, 2))
                .count());
    }

    /** Only the node that was addressed answers 0x3D; all do where every one is meant (7F). */
    @Test
    void diagnosisIsAnsweredByWhoIsAsked() {
        String nodes = """
                head: {clock: 0 ppm, sends: {ask: {id: 0x3C, length: 8, filler: %s}}}
                one: {clock: 0 ppm, sends: {say: {id: 0x3D, length: 8, filler: 0x11}}}
                two: {clock: 0 ppm, sends: {say: {id: 0x3D, length: 8, filler: 0x12}}}
                """;
        String slots = "slots: [{message: 0x3C, takes: 50 ms}, {message: 0x3D, takes: 50 ms}]";
        assertEquals(List.of("0 ms head 0x3C", "50 ms two 0x3D", "100 ms head 0x3C"),
                told(run(slots, "", nodes.formatted("0x12"))).subList(0, 3));
        List<String> all = told(run(slots, "", nodes.formatted("0x7F")));
        assertTrue(all.get(1).contains("one 0x3D") && all.get(1).contains("two 0x3D"), all.get(1));
        assertEquals("50 ms", told(run(slots, "", nodes.formatted("0x33"))).get(1));
    }

    /** The command as table 2.1 of the clause has it, then pulses every 200 ms, three, then 1.5 s, until the master speaks. */
    @Test
    void sleepAndWakeUp() {
        WireProbe probe = run("slots: [{message: 0x12, takes: 50 ms}]\nsleeps: [{at: 0.3 s, starts after: 2.2 s}]", "", """
                head: {clock: 0 ppm}
                one: {clock: 0 ppm, wakes: [{at: 0.6 s, lasts: 2 ms}], sends: {say: {id: 0x12, length: 1}}}
                """);
        FrameTruth command = probe.frames.get(6);
        assertEquals("head 0x3C", told(probe).get(6).substring(7));
        StringBuilder meant = new StringBuilder("00000000000001");
        for (int value : new int[] {0x55, 0x3C, 0, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0}) {
            meant.append('0');
            for (int n = 0; n < 8; n++) meant.append(value >>> n & 1);
            meant.append('1');
        }
        assertEquals(meant.toString(), probe.bits(command.startPicos(), 1e8, 124));
        List<String> pulses = new ArrayList<>();
        for (int i = 0; i + 1 < probe.edgeCount(); i++) {
            long length = probe.edge(i + 1) - probe.edge(i);
            if (probe.levelAfter(i) == 0 && length > 1_900_000_000L) {
                pulses.add(Math.round(probe.edge(i) * 1e-9) + " ms");
                assertEquals(2e9, length, 1e6);
            }
        }
        assertEquals(List.of("600 ms", "800 ms", "1000 ms", "2500 ms", "2700 ms"), pulses);
        assertEquals("2802 ms one 0x12", told(probe).get(7));
    }
}
