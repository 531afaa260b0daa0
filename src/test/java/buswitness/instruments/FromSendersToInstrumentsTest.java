package buswitness.instruments;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Clashes;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.senders.SenderFindings;
import buswitness.senders.Senders;
import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import org.junit.jupiter.api.Test;

/** The real sender and clash stages in front of the replay, on made frame logs with the wire seen at 100 ns. */
class FromSendersToInstrumentsTest {
    private static final Layout LAYOUT = Layouts.parse("""
            bus: {coding: can, rate: 125 kbit/s}
            nodes: [engine unit, gauge translator, door unit]
            messages:
              engine state:
                id: 0x1D0
                from: engine unit
                every: 100 ms
                carries:
                  coolant temperature: {bits: 0..7, offset: -40, unit: °C, changes at most: 3 per s}
                  oil pressure low: {bit: 12}
              doors: {id: 0x3B0, from: door unit, every: 100 ms, carries: {door open: {bit: 7}}}
            instruments:
              coolant gauge: {shows: coolant temperature, from: 50, to: 130, settles in: 0.8 s}
              oil lamp: {shows: oil pressure low, lit when: 1}
              door lamp: {shows: door open, lit when: 1}
            """, "made");

    private static InstrumentFindings replay(FrameLogs bus) {
        FrameLogs.Made made = bus.make();
        SenderFindings senders = Senders.find(made.log(), made.bus(), made.gaps(), LAYOUT);
        ClashFindings clashes = Clashes.judge(made.log(), made.bus(), made.gaps(), senders, LAYOUT);
        return Instruments.replay(made.log(), made.bus(), made.gaps(), clashes, LAYOUT);
    }

    private static FrameLogs bus(long seed) {
        FrameLogs bus = new FrameLogs(125_000, 60, seed).wire(100e-9);
        bus.node(12).every(0x3B0, 0.1, 0.031, Payloads.constant(0, 0, 0, 0)).every(0x3C0, 0.05, 0.02,
                Payloads.constant(1, 2, 3, 4));
        return bus;
    }

    @Test
    void twoSendersOfOneMessage() {
        FrameLogs bus = bus(1);
        bus.node(40).asymmetry(60).every(0x1D0, 0.1, 0.013, Payloads.constant(102, 0, 7, 7)).every(0x1D8, 0.1, 0.015,
                Payloads.constant(1, 1));
        bus.node(-33).asymmetry(-80).every(0x1D0, 0.1, 0.061, Payloads.constant(130, 8, 9, 9)).every(0x1E8, 0.1,
                0.063, Payloads.constant(2, 2));
        InstrumentFindings all = replay(bus);
        InstrumentFinding gauge = all.instruments().get(0);
        InstrumentsTest.check(gauge, Symptom.FLAPPING, Cause.TWO_SENDERS);
        assertEquals(java.util.List.of(62.0, 90.0), gauge.levels());
        assertTrue(gauge.withSenderChange() > 0.98, "" + gauge.withSenderChange());
        InstrumentsTest.check(all.instruments().get(1), Symptom.FLAPPING, Cause.TWO_SENDERS);
        InstrumentsTest.check(all.instruments().get(2), Symptom.NONE, Cause.NONE);
    }

    @Test
    void oneSenderWhoseSensorJumps() {
        for (long seed = 1; seed <= 5; seed++) {
            FrameLogs bus = bus(seed);
            bus.node(40).asymmetry(60).every(0x1D0, 0.1, 0.013, (count, seconds, random) ->
                    new byte[] {(byte) (random.nextInt(4) == 0 ? 40 : 130), 0, 7, 7});
            InstrumentFinding gauge = replay(bus).instruments().get(0);
            assertEquals(Symptom.FLAPPING, gauge.symptom(), gauge.says());
            assertTrue(gauge.cause() == Cause.OWN_READING || gauge.cause() == Cause.UNDECIDED, gauge.says());
        }
    }

    @Test
    void aHealthyBus() {
        FrameLogs bus = bus(3);
        bus.node(40).every(0x1D0, 0.1, 0.013, Payloads.slow(4, 128, 0.5, true));
        for (InstrumentFinding f : replay(bus).instruments()) InstrumentsTest.check(f, Symptom.NONE, Cause.NONE);
    }
}
