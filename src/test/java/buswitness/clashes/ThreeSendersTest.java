package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Instruments;
import buswitness.instruments.Symptom;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.senders.Senders;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.FrameLogs.Node;
import buswitness.testing.Payloads;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Three nodes that send one message, and one node that sends it from three tasks. */
class ThreeSendersTest {
    private static final int ID = 0x1D0;
    private static final long KEY = MessageKey.can(ID, false);
    private static final double[] PPM = {41, -36, -75};
    private static final double[] PHASE = {0.0132, 0.0491, 0.0809};
    private static final FrameLogs.Payload DATA = Payloads.slow(8, 7, 2, true);

    @TempDir
    Path folder;

    private static FrameLogs.Payload says(int value) {
        return (count, time, random) -> new byte[] {(byte) value, 0x10, 0x20, 0x30};
    }

    private static Made three(long seed, boolean oneNode) {
        FrameLogs bus = new FrameLogs(125_000, 40, seed);
        Node first = null;
        for (int n = 0; n < PPM.length; n++) {
            Node node = bus.node(PPM[n], 0.3, 80e-6).every(0x120 + n, 0.05, 0.0071 + 0.0093 * n, DATA);
            if (first == null) first = node;
            (oneNode ? first : node).every(ID, 0.1, PHASE[n], says(20 + 60 * n));
        }
        bus.node(12, 0.3, 80e-6).every(0x2A0, 0.1, 0.031, DATA);
        return bus.make();
    }

    private static ClashFindings judge(Made m) {
        return Clashes.judge(m.log(), m.bus(), m.gaps(), Senders.find(m.log(), m.bus(), m.gaps(), null), null);
    }

    @Test
    void eachFrameGoesToItsOneOfThree() {
        int found = 0;
        for (long seed = 1; seed <= 10; seed++) {
            Made made = three(seed, false);
            ClashFindings judged = judge(made);
            MessageFinding message = judged.message(KEY);
            if (message.verdict() == Verdict.UNDECIDED) continue;
            found++;
            assertEquals(Verdict.TWO_SENDERS, message.verdict(), "seed " + seed);
            assertEquals(3, message.senders().size(), "seed " + seed + ": " + message.senders());
            int right = 0;
            int told = 0;
            int all = 0;
            for (int i = 0; i < made.log().size(); i++) {
                if (made.log().key(i) != KEY || !made.log().isWhole(i)) continue;
                all++;
                if (judged.senderOf(i) < 0) continue;
                told++;
                long own = MessageKey.can(0x120 + made.senderOf()[i], false);
                if (judged.senders().get(judged.senderOf(i)).keys().contains(own)) right++;
            }
            assertTrue(told >= 0.95 * all, "seed " + seed + ": " + told + " of " + all);
            assertTrue(right >= 0.995 * told, "seed " + seed + ": " + right + " of " + told);
        }
        assertTrue(found >= 9, found + " of 10 found");
    }

    /** The innocent twin: the same frames at the same phases from three tasks of one node. */
    @Test
    void threeTasksOfOneNodeAreNoClash() {
        for (long seed = 1; seed <= 20; seed++) {
            assertNotEquals(Verdict.TWO_SENDERS, judge(three(seed, true)).message(KEY).verdict(), "seed " + seed);
        }
    }

    /** Every turn of the needle comes with a change of sender, whichever of the three. */
    @ParameterizedTest
    @ValueSource(strings = {", changes at most: 5 per s", ""})
    void theNeedleTurnsWithTheSenders(String rate) throws IOException {
        Layout layout = Layouts.load(Files.writeString(folder.resolve("three.layout.yaml"), """
                bus: {rate: 125 kbit/s}
                nodes: [first, second, third]
                messages:
                  engine state:
                    id: 0x1D0
                    from: first
                    every: 100 ms
                    length: 4
                    carries:
                      coolant temperature: {bits: 0..7, unit: "°C"RATE}
                instruments:
                  coolant gauge: {shows: coolant temperature, from: 0, to: 200, settles in: 0.02 s}
                """.replace("RATE", rate)));
        Made made = three(3, false);
        ClashFindings judged = Clashes.judge(made.log(), made.bus(), made.gaps(),
                Senders.find(made.log(), made.bus(), made.gaps(), layout), layout);
        assertEquals(3, judged.message(KEY).senders().size());
        InstrumentFinding gauge = Instruments.replay(made.log(), made.bus(), made.gaps(), judged, layout).instruments()
                .get(0);
        assertEquals(Symptom.FLAPPING, gauge.symptom(), gauge.says());
        assertEquals(Cause.TWO_SENDERS, gauge.cause());
        assertTrue(gauge.withSenderChange() > 0.99, gauge.toString());
        assertFalse(gauge.says().isEmpty());
    }
}
