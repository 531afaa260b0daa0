package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.senders.Senders;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.FrameLogs.Node;
import buswitness.testing.Payloads;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** Recordings of one invented bus, whole and with a node unplugged. */
class UnpluggedTest {
    private static final int ID = 0x1D0;
    private static final long KEY = MessageKey.can(ID, false);
    private static final FrameLogs.Payload SAME = Payloads.square(8, 10, 90, 7);

    /** Nodes by letter: e engine unit, t translator, d dashboard, z unit that sends 0x1D0 twice, p partner of e. */
    private static Made bus(String nodes, long seed, double shift, double rate) {
        FrameLogs bus = new FrameLogs(rate, 40, seed);
        if (nodes.contains("e")) {
            Node e = bus.node(40 + shift).every(0x120, 0.05, 0.011, Payloads.slow(8, 7, 2, true));
            e.every(0x2A0, 0.2, 0.083, Payloads.slow(4, 9, 1, false));
            if (!nodes.contains("z")) e.every(ID, 0.1, 0.0132, SAME);
        }
        if (nodes.contains("t")) {
            Node t = bus.node(-33 + shift).every(0x121, 0.05, 0.031, Payloads.slow(8, 7, 2, true));
            t.every(ID, 0.1, 0.0409, SAME);
        }
        if (nodes.contains("d")) {
            Node d = bus.node(12 + shift).every(0x122, 0.05, 0.044, Payloads.slow(8, 7, 2, true));
            // A message that the dashboard sends only while it hears the engine unit.
            if (nodes.contains("e")) d.every(0x300, 0.1, 0.071, Payloads.slow(8, 7, 2, true));
        }
        if (nodes.contains("z")) {
            Node z = bus.node(-60 + shift).every(0x123, 0.05, 0.022, Payloads.slow(8, 7, 2, true));
            z.every(ID, 0.1, 0.0132, Payloads.slow(8, 200, 0.5, false));
            if (nodes.contains("e")) z.delayLoop(ID, 0.1, 0.00004, 0.000002, Payloads.slow(8, 40, 0.5, false));
        }
        return bus.make();
    }

    private static Reference reference(String node, Made m) {
        return new Reference(node, node + ".bwl", m.log(), m.bus(), Senders.find(m.log(), m.bus(), m.gaps(), null));
    }

    private static ClashFindings judge(Made m, Reference... references) {
        return Clashes.judge(m.log(), m.bus(), m.gaps(), Senders.find(m.log(), m.bus(), m.gaps(), null), null,
                Arrays.asList(references));
    }

    private static Evidence without(ClashFindings found) {
        return found.message(KEY).evidence().stream().filter(e -> e.kind() == Evidence.Kind.WITHOUT).findFirst()
                .orElse(null);
    }

    private static String says(ClashFindings found) {
        return String.join(" ", found.references().get(0).says());
    }

    /** Two nodes that say the same, told apart by their clocks: with each unplugged in turn they have names. */
    @Test
    void namesTheSendersAndProvesTwo() {
        Made both = bus("etd", 1, 0, 125_000);
        for (Sender s : judge(both).senders()) assertEquals(null, s.name());
        ClashFindings found = judge(both, reference("engine unit", bus("td", 2, 0, 125_000)),
                reference("gauge translator", bus("ed", 3, 0, 125_000)));
        assertEquals(Verdict.TWO_SENDERS, found.message(KEY).verdict(), () -> found.references() + "" + without(found));
        List<String> names = new ArrayList<>();
        for (int s : found.message(KEY).senders()) names.add(found.senders().get(s).name());
        assertEquals(Set.of("engine unit", "gauge translator"), Set.copyOf(names));
        Made truth = both;
        int right = 0;
        int named = 0;
        for (int i = 0; i < truth.log().size(); i++) {
            int s = found.senderOf(i);
            if (s < 0 || found.senders().get(s).name() == null) continue;
            named++;
            if (truth.senderOf()[i] == (found.senders().get(s).name().equals("engine unit") ? 0 : 1)) right++;
        }
        assertTrue(named > 2000, "named " + named);
        assertTrue(right >= 0.995 * named, right + " of " + named);
        assertEquals(4, without(found).strength(), () -> without(found).says());
        assertTrue(found.message(KEY).ablation().stream().anyMatch(a -> a.without() == Evidence.Kind.WITHOUT));
    }

    @Test
    void oneRecordingIsEnoughToNameThatNode() {
        ClashFindings found = judge(bus("etd", 1, 0, 125_000), reference("engine unit", bus("td", 2, 0, 125_000)));
        ReferenceFinding r = found.references().get(0);
        assertTrue(r.fits(), r.toString());
        assertEquals("engine unit", found.senders().get(r.sender()).name());
        assertTrue(r.silent().contains(MessageKey.can(0x120, false)));
        assertTrue(says(found).contains("0x300. A partner or a forwarding unit"), says(found));
        assertFalse(found.senders().get(r.sender()).keys().contains(MessageKey.can(0x300, false)));
    }

    @Test
    void anotherRecorderIsTakenOutAndSaidSo() {
        ClashFindings found = judge(bus("etd", 1, 0, 125_000), reference("engine unit", bus("td", 2, 25, 125_000)));
        assertTrue(says(found).contains("All clocks are moved by +2"), says(found));
        // One such recording speaks for two senders without settling it; both together do.
        assertEquals(2, without(found).strength(), () -> says(found) + without(found));
        ClashFindings two = judge(bus("etd", 1, 0, 125_000), reference("engine unit", bus("td", 2, 25, 125_000)),
                reference("gauge translator", bus("ed", 3, 25, 125_000)));
        assertEquals(Verdict.TWO_SENDERS, two.message(KEY).verdict(), () -> says(two) + without(two));
    }

    /** Nodes whose clocks the recording does not show fall silent too: perhaps two are missing, so none is named. */
    @Test
    void noNameWhereMoreMayBeMissing() {
        FrameLogs bus = new FrameLogs(125_000, 40, 5);
        bus.node(40).every(0x120, 0.05, 0.011, Payloads.slow(8, 7, 2, true)).every(0x2A0, 0.2, 0.083, SAME);
        bus.node(-33).every(0x121, 0.05, 0.031, SAME).every(0x2B0, 0.2, 0.123, SAME);
        bus.node(80).onEvent(0x300, 5, 0, SAME).onEvent(0x301, 4, 0, SAME);
        FrameLogs left = new FrameLogs(125_000, 40, 6);
        left.node(-33).every(0x121, 0.05, 0.031, SAME).every(0x2B0, 0.2, 0.123, SAME);
        ClashFindings found = judge(bus.make(), reference("engine unit", left.make()));
        assertTrue(says(found).contains("may not be all that is missing"), says(found));
        assertEquals(-1, found.references().get(0).sender());
    }

    @Test
    void saysWhenARecordingDoesNotFit() {
        Made both = bus("etd", 1, 0, 125_000);
        String[][] cases = {{"etd", "125000", "still there"}, {"t", "125000", "more than the engine unit is missing"},
            {"td", "250000", "another bus"}};
        for (String[] c : cases) {
            ClashFindings found = judge(both, reference("engine unit", bus(c[0], 2, 0, Double.parseDouble(c[1]))));
            assertFalse(found.references().get(0).fits(), c[2]);
            assertTrue(says(found).contains(c[2]), says(found));
            assertEquals(-1, found.references().get(0).sender());
            assertEquals(null, without(found), c[2]);
            assertEquals(judge(both).message(KEY).strength(), found.message(KEY).strength(), c[2]);
        }
        ClashFindings alone = judge(both, reference("engine unit", Doctored.alone(bus("t", 2, 0, 125_000))));
        assertTrue(says(alone).contains("Only one node was left"), says(alone));
        assertEquals(null, without(alone));
    }

    /** A third unit sends the message twice, once only while it hears the engine unit: no reason to accuse. */
    @Test
    void aPartnerThatFallsSilentIsNotTheNode() {
        for (long seed = 1; seed <= 3; seed++) {
            Made both = bus("zed", seed, 0, 125_000);
            Verdict before = judge(both).message(KEY).verdict();
            ClashFindings found = judge(both, reference("engine unit", bus("zd", seed + 10, 0, 125_000)));
            Evidence e = without(found);
            if (e != null) assertTrue(e.strength() < Strength.STRONG, e.says());
            if (before != Verdict.TWO_SENDERS) assertNotEquals(Verdict.TWO_SENDERS, found.message(KEY).verdict());
        }
    }
}
