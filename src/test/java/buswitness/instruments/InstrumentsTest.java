package buswitness.instruments;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.Verdict;
import buswitness.frames.FrameFault;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What the driver sees, on frames written by hand. Coolant scaling A - 40: SAE J1979 PID 05. */
class InstrumentsTest {
    private static final int COOLANT = 0x1D0;
    private static final String TEXT = """
            nodes: [engine unit, gauge translator]
            messages:
              engine state:
                id: 0x1D0
                from: engine unit
                every: 100 ms
                carries:
                  coolant temperature: {bits: 0..7, offset: -40, unit: °C, changes at most: 3 per s}
                  oil pressure low: {bit: 12}
            instruments:
              coolant gauge: {shows: coolant temperature, from: 50, to: 130, settles in: 0.8 s%s}
              oil lamp: {shows: oil pressure low, lit when: 1%s}
            """;

    private static Layout layout(String gaugeExtra, String lampExtra) {
        return Layouts.parse(String.format(TEXT, gaugeExtra, lampExtra), "test");
    }

    private static final Layout PLAIN = layout("", "");

    static InstrumentFinding check(InstrumentFinding f, Symptom symptom, Cause cause) {
        assertEquals(symptom + " / " + cause, f.symptom() + " / " + f.cause(), f.says());
        assertTrue(f.says().endsWith(".") && !f.says().contains("NaN"), f.says());
        assertNotNull(f.trace());
        return f;
    }

    private static HandMadeBus clash(double seconds, int a, int b) {
        return new HandMadeBus(seconds).every(COOLANT, 0, 0.1, 0.013, t -> new int[] {a + 40, 0})
                .every(COOLANT, 1, 0.1, 0.061, t -> new int[] {b + 40, 0x08});
    }

    @Test
    void twoSendersInTurnFlap() {
        InstrumentFindings all = clash(40, 62, 90).replay(PLAIN);
        InstrumentFinding gauge = check(all.instruments().get(0), Symptom.FLAPPING, Cause.TWO_SENDERS);
        // 800 frames: 799 steps, the first of them turns back on nothing.
        assertEquals(798, gauge.reversals());
        assertEquals(798 * 60 / 39.95, gauge.reversalsPerMinute(), 1);
        assertEquals(1, gauge.withSenderChange(), 1e-12);
        // Shuffled names: 1 - 2 x 400 x 399 / (800 x 799).
        assertEquals(1 - 2 * 400.0 * 399 / (800 * 799.0), gauge.chance(), 1e-12);
        assertEquals(Math.sqrt(0.25 / 798), gauge.chanceError(), 1e-4);
        assertEquals(java.util.List.of(62.0, 90.0), gauge.levels());
        assertEquals(28, gauge.swing(), 1e-12);
        assertTrue(Double.isNaN(gauge.litShare()));
        assertTrue(gauge.says().contains("62 °C and 90 °C") && gauge.says().contains("100 %"), gauge.says());
        InstrumentFinding lamp = check(all.instruments().get(1), Symptom.FLAPPING, Cause.TWO_SENDERS);
        assertEquals(799, lamp.reversals());
        // B's frame comes 48 ms after A's and 52 ms before the next.
        assertEquals(0.52, lamp.litShare(), 0.005);
        assertEquals(1, lamp.swing());
    }

    @Test
    void aFastAndASlowSender() {
        HandMadeBus bus = new HandMadeBus(60).every(COOLANT, 0, 0.1, 0.02, t -> new int[] {130, 0})
                .every(COOLANT, 1, 1.0, 0.57, t -> new int[] {100, 0x08});
        InstrumentFindings all = bus.replay(PLAIN);
        InstrumentFinding gauge = check(all.instruments().get(0), Symptom.FLAPPING, Cause.TWO_SENDERS);
        assertEquals(119, gauge.reversals(), "60 visits, there and back, less the first");
        assertTrue(gauge.chance() < 0.2 && gauge.withSenderChange() == 1);
        check(all.instruments().get(1), Symptom.FLAPPING, Cause.TWO_SENDERS);
    }

    @Test
    void anUndecidedMessageIsNeverBlamedOnTwoSenders() {
        HandMadeBus bus = clash(40, 62, 90).verdict(COOLANT, Verdict.UNDECIDED);
        for (InstrumentFinding f : bus.replay(PLAIN).instruments()) {
            check(f, Symptom.FLAPPING, Cause.UNDECIDED);
            assertTrue(Double.isNaN(f.withSenderChange()) && f.says().contains("undecided"), f.says());
            assertFalse(f.says().contains("change of sender"), f.says());
        }
    }

    @Test
    void unknownSendersGiveNoShare() {
        HandMadeBus bus = new HandMadeBus(40).every(COOLANT, -1, 0.1, 0.013, t -> new int[] {102, 0})
                .every(COOLANT, -1, 0.1, 0.061, t -> new int[] {130, 0}).verdict(COOLANT, Verdict.TWO_SENDERS);
        InstrumentFinding f = check(bus.replay(PLAIN).instruments().get(0), Symptom.FLAPPING, Cause.UNDECIDED);
        assertTrue(Double.isNaN(f.withSenderChange()));
    }

    @Test
    void aJumpingSensorOfOneSenderIsItsOwnReading() {
        HandMadeBus bus = new HandMadeBus(60).every(COOLANT, 0, 0.1, 0.01,
                t -> new int[] {(int) (t * 7) % 3 == 0 ? 20 : 130, 0});
        check(bus.replay(PLAIN).instruments().get(0), Symptom.FLAPPING, Cause.OWN_READING);
    }

    /** Where something speaks for a second sender, though too little for a verdict, no sensor is blamed. */
    @Test
    void aJumpingSensorIsNotBlamedWhereASecondSenderIsSuspected() {
        HandMadeBus bus = new HandMadeBus(60).every(COOLANT, 0, 0.1, 0.01,
                t -> new int[] {(int) (t * 7) % 3 == 0 ? 20 : 130, 0}).strength(COOLANT, 3.9);
        check(bus.replay(PLAIN).instruments().get(0), Symptom.FLAPPING, Cause.UNDECIDED);
    }

    @Test
    void aJumpingSensorThatTwoSendersShareIsNotBlamedOnThem() {
        // Both forward one broken reading; their frames alternate strictly, so every jump meets a change of sender.
        java.util.SplittableRandom random = new java.util.SplittableRandom(5);
        int[] reading = new int[3000];
        for (int i = 0; i < reading.length; i++) reading[i] = random.nextInt(8) == 0 ? 20 : 130;
        java.util.function.DoubleFunction<int[]> shared = t -> new int[] {reading[(int) (t * 25)], 0};
        HandMadeBus bus = new HandMadeBus(60).every(COOLANT, 0, 0.1, 0.01, shared).every(COOLANT, 1, 0.1, 0.06, shared);
        InstrumentFinding f = bus.replay(PLAIN).instruments().get(0);
        assertEquals(1, f.withSenderChange(), 1e-12);
        check(f, Symptom.FLAPPING, Cause.UNDECIDED);
    }

    @Test
    void twoSendersThatAgreeDisturbNoGauge() {
        HandMadeBus bus = clash(40, 88, 88).verdict(COOLANT, Verdict.TWO_SENDERS);
        InstrumentFinding f = check(bus.replay(PLAIN).instruments().get(0), Symptom.NONE, Cause.NONE);
        assertEquals(0, f.reversals());
    }

    @Test
    void aNeedleAtItsStopHidesTwoSendersThatDisagree() {
        for (int b : new int[] {26, 49}) {
            HandMadeBus bus = clash(40, -40, b).name(0, "engine unit").verdict(COOLANT, Verdict.TWO_SENDERS);
            InstrumentFinding f = check(bus.replay(PLAIN).instruments().get(0), Symptom.NONE, Cause.TWO_SENDERS);
            assertEquals("The coolant gauge rests at its stop although two senders disagree: A (engine unit) says -40 °C and B"
                    + " says " + b + " °C, both below 50 °C, where the needle begins to move. It would swing as soon as one of"
                    + " them goes above that, as when the engine is warm.", f.says());
        }
        InstrumentFinding hot = clash(40, 135, 160).verdict(COOLANT, Verdict.TWO_SENDERS).replay(PLAIN).instruments().get(0);
        assertTrue(check(hot, Symptom.NONE, Cause.TWO_SENDERS).says().contains("both above 130 °C"), hot.says());
    }

    @Test
    void aFlatScaleHidesThemAsWell() {
        Layout flat = Layouts.parse(String.format(TEXT, "", "").replace("from: 50, to: 130",
                "points: {50: 0 %, 80: 50 %, 110: 51 %, 130: 100 %}"), "test");
        HandMadeBus bus = clash(40, 85, 105).verdict(COOLANT, Verdict.TWO_SENDERS);
        InstrumentFinding f = check(bus.replay(flat).instruments().get(0), Symptom.NONE, Cause.TWO_SENDERS);
        assertTrue(f.says().contains("does not move") && f.says().contains("85 °C") && f.says().contains("flat"), f.says());
    }

    /** Both read one sensor at different times, or to a count: no disagreement. */
    @Test
    void sendersThatAgreeBelowTheScaleAreNoDispute() {
        HandMadeBus same = new HandMadeBus(60).verdict(COOLANT, Verdict.TWO_SENDERS)
                .every(COOLANT, 0, 0.1, 0.013, t -> new int[] {40 + (int) (t / 2), 0})
                .every(COOLANT, 1, 0.5, 0.061, t -> new int[] {41 + (int) (t / 2), 0});
        check(same.replay(PLAIN).instruments().get(0), Symptom.NONE, Cause.NONE);
        HandMadeBus noisy = new HandMadeBus(60).verdict(COOLANT, Verdict.TWO_SENDERS)
                .every(COOLANT, 0, 0.1, 0.013, t -> new int[] {60 + (int) (t * 97) % 7, 0})
                .every(COOLANT, 1, 0.1, 0.061, t -> new int[] {60 + (int) (t * 89) % 7, 0});
        check(noisy.replay(PLAIN).instruments().get(0), Symptom.NONE, Cause.NONE);
        check(clash(40, -40, 26).verdict(COOLANT, Verdict.UNDECIDED).replay(PLAIN).instruments().get(0), Symptom.NONE,
                Cause.NONE);
    }

    @Test
    void tooFastForTheNeedleIsSteadilyWrong() {
        String text = String.format(TEXT, "", "").replace("0.8 s", "20 s").replace("100 ms", "20 ms");
        Layout slow = Layouts.parse(text, "test");
        HandMadeBus bus = new HandMadeBus(60).every(COOLANT, 0, 0.02, 0.001, t -> new int[] {102, 0})
                .every(COOLANT, 1, 0.02, 0.011, t -> new int[] {160, 0});
        InstrumentFinding f = check(bus.replay(slow).instruments().get(0), Symptom.STEADILY_WRONG, Cause.TWO_SENDERS);
        assertTrue(f.says().contains("nobody's value"), f.says());
        InstrumentFinding named = bus.name(0, "engine unit").replay(slow).instruments().get(0);
        check(named, Symptom.STEADILY_WRONG, Cause.TWO_SENDERS);
        assertTrue(named.says().contains("A (engine unit), its documented sender, says 62 °C"), named.says());
    }

    @Test
    void schedulesThatMovePastEachOtherLetTheNeedleWander() {
        // B's clock is 1000 ppm slower: its frame comes 1 ms after A's at first and 99 ms after it in the end. A slow
        // needle hardly trembles but sinks from what A says to what B says.
        Layout slow = Layouts.parse(String.format(TEXT, "", "").replace("0.8 s", "6 s"), "test");
        HandMadeBus bus = new HandMadeBus(98).every(COOLANT, 0, 0.1, 0.013, t -> new int[] {130, 0})
                .every(COOLANT, 1, 0.1001, 0.014, t -> new int[] {100, 0});
        InstrumentFinding f = check(bus.replay(slow).instruments().get(0), Symptom.FLAPPING, Cause.TWO_SENDERS);
        assertTrue(f.says().contains("gets about between"), f.says());
    }

    @Test
    void collisionsFreezeANeedleOrLetItDrop() {
        HandMadeBus bus = clash(40, 88, 88).without(20, 24, COOLANT).collision(COOLANT, 20, 24);
        for (int i = 0; i < 40; i++) bus.frame(20 + i * 0.1, COOLANT, -1, FrameFault.ERROR_FLAG, 128);
        bus.every(0x2A0, 2, 0.05, 0.003, t -> new int[] {0});
        InstrumentFinding held = check(bus.replay(PLAIN).instruments().get(0), Symptom.HELD,
                Cause.DAMAGED_BY_TWO_SENDERS);
        assertTrue(held.says().contains("4.1 s") || held.says().contains("4 s"), held.says());
        Layout timed = layout(", time-out: {after: 2 s, then: 0 %}", ", time-out: {after: 2 s, then: lit}");
        InstrumentFindings all = bus.replay(timed);
        check(all.instruments().get(0), Symptom.DROPPED_OUT, Cause.DAMAGED_BY_TWO_SENDERS);
        Trace trace = all.instruments().get(0).trace();
        int at = 0;
        while (!Float.isNaN(trace.told()[at])) at++;
        assertEquals(21.961, trace.atSeconds()[at], 0.001, "two seconds after the last frame at 19.961 s");
        assertTrue(trace.shown()[at + 1] < 0.01, "after 2.05 s at its stop, 7.7 time constants on");
    }

    @Test
    void aDisturbedBusIsNotTwoSenders() {
        HandMadeBus bus = new HandMadeBus(40).every(COOLANT, 0, 0.1, 0.013, t -> new int[] {128, 0})
                .every(0x2A0, 1, 0.1, 0.05, t -> new int[] {0}).every(0x3A0, 2, 0.1, 0.07, t -> new int[] {0})
                .without(20, 24, COOLANT).without(20, 24, 0x2A0).without(20, 24, 0x3A0);
        for (int i = 0; i < 40; i++) {
            bus.frame(20.01 + i * 0.1, COOLANT, -1, FrameFault.CHECK, 128);
            bus.frame(20.05 + i * 0.1, 0x2A0, -1, FrameFault.STUFF, 0);
            bus.frame(20.07 + i * 0.1, 0x3A0, -1, FrameFault.FORM, 0);
        }
        check(bus.replay(PLAIN).instruments().get(0), Symptom.HELD, Cause.DISTURBANCE);
    }

    @Test
    void missingFramesAndRestarts() {
        Layout timed = layout(", time-out: {after: 500 ms, then: 0 %}", "");
        HandMadeBus missing = new HandMadeBus(40).every(COOLANT, 0, 0.1, 0.013, t -> new int[] {128, 0})
                .every(0x2A0, 0, 0.05, 0.003, t -> new int[] {0}).without(10, 12, COOLANT).without(20, 22, COOLANT);
        InstrumentFinding f = check(missing.replay(timed).instruments().get(0), Symptom.DROPPED_OUT,
                Cause.MISSING_FRAMES);
        assertTrue(f.says().contains("twice"), f.says());
        // The unit browns out for 0.83 s every 5 s; afterwards its start-up value 215 °C for 0.4 s, then the true one.
        HandMadeBus restarts = new HandMadeBus(60).every(0x2A0, 2, 0.05, 0.003, t -> new int[] {0});
        for (int k = 0; k < 12; k++) {
            double from = k * 5 + 0.0371 * k;
            restarts.every(COOLANT, 0, 0.1, from, from, from + 4.17,
                    t -> new int[] {t - from < 0.4 ? 255 : 128, 0});
            restarts.every(0x1E0, 0, 0.1, from + 0.01, from, from + 4.17, t -> new int[] {1});
        }
        check(restarts.replay(PLAIN).instruments().get(0), Symptom.FLAPPING, Cause.RESTARTS);
    }

    @Test
    void aSleepingBusIsNobodysFault() {
        HandMadeBus bus = new HandMadeBus(60).every(COOLANT, 0, 0.1, 0.013, 0, 30, t -> new int[] {128, 0})
                .every(0x2A0, 1, 0.1, 0.05, 0, 30, t -> new int[] {0});
        check(bus.replay(PLAIN).instruments().get(0), Symptom.NONE, Cause.NONE);
    }

    @Test
    void aGapInTheRecordingIsNotSilence() {
        Layout timed = layout(", time-out: {after: 500 ms, then: 0 %}", ", time-out: {after: 500 ms, then: lit}");
        HandMadeBus bus = new HandMadeBus(40).every(COOLANT, 0, 0.1, 0.013,
                t -> new int[] {t < 20 ? 100 : 160, t < 20 ? 0 : 8}).gap(18, 23);
        InstrumentFindings all = bus.replay(timed);
        InstrumentFinding gauge = check(all.instruments().get(0), Symptom.NONE, Cause.NONE);
        assertEquals(0, gauge.reversals());
        Trace trace = gauge.trace();
        int broken = -1;
        for (int i = 0; i < trace.shown().length; i++) if (Float.isNaN(trace.shown()[i])) broken = i;
        assertEquals(18, trace.atSeconds()[broken], 1e-9);
        assertEquals((160 - 40 - 50) / 80f, trace.shown()[broken + 1], 1e-6f, "begins anew at what it is told");
        InstrumentFinding lamp = check(all.instruments().get(1), Symptom.NONE, Cause.NONE);
        assertEquals(17.0 / (17 + 18), lamp.litShare(), 0.01, "unknown time left out");
    }

    @ParameterizedTest
    @EnumSource(Verdict.class)
    void aLampWhoseFramesAreAllDamagedIsNeverLit(Verdict verdict) {
        HandMadeBus bus = new HandMadeBus(20).verdict(COOLANT, verdict).every(0x2A0, 2, 0.1, 0, t -> new int[] {0});
        for (int i = 0; i < 100; i++) bus.frame(0.1 + i * 0.1, COOLANT, -1, FrameFault.ERROR_FLAG, 128);
        InstrumentFinding f = bus.replay(PLAIN).instruments().get(1);
        check(f, Symptom.NEVER_LIT,
                verdict == Verdict.TWO_SENDERS ? Cause.DAMAGED_BY_TWO_SENDERS : Cause.UNDECIDED);
        assertTrue(f.says().contains("all 100 frames"), f.says());
    }

    @Test
    void aLampThatOnlyDamagedFramesWouldLight() {
        HandMadeBus bus = new HandMadeBus(20).verdict(COOLANT, Verdict.TWO_SENDERS)
                .every(COOLANT, 0, 0.1, 0, t -> new int[] {128, 0});
        for (int i = 0; i < 16; i++) bus.frame(5.02 + i * 0.001, COOLANT, -1, FrameFault.ERROR_FLAG, 128, 8);
        check(bus.replay(PLAIN).instruments().get(1), Symptom.NEVER_LIT, Cause.DAMAGED_BY_TWO_SENDERS);
    }

    @Test
    void aSenderThatNeverGetsThrough() {
        HandMadeBus bus = new HandMadeBus(20).verdict(COOLANT, Verdict.TWO_SENDERS)
                .every(COOLANT, 0, 0.1, 0, t -> new int[] {102, 0})
                .collision(COOLANT, 5, 5.02, new byte[] {102, 0}, new byte[] {(byte) 150, 8});
        InstrumentFinding gauge = check(bus.replay(PLAIN).instruments().get(0), Symptom.HELD,
                Cause.DAMAGED_BY_TWO_SENDERS);
        assertTrue(gauge.says().contains("62 °C") && gauge.says().contains("110 °C"), gauge.says());
        check(bus.replay(PLAIN).instruments().get(1), Symptom.NEVER_LIT, Cause.DAMAGED_BY_TWO_SENDERS);
    }

    @Test
    void aMessageThatNeverCame() {
        HandMadeBus bus = new HandMadeBus(20).every(0x2A0, 2, 0.1, 0, t -> new int[] {0});
        InstrumentFindings all = bus.replay(layout("", ", time-out: {after: 1 s, then: lit}"));
        check(all.instruments().get(0), Symptom.HELD, Cause.MISSING_FRAMES);
        check(all.instruments().get(1), Symptom.DROPPED_OUT, Cause.MISSING_FRAMES);
        check(bus.replay(PLAIN).instruments().get(1), Symptom.NEVER_LIT, Cause.MISSING_FRAMES);
        assertTrue(bus.replay(PLAIN).instruments().get(1).says().contains("never came in 20 s"));
    }

    @Test
    void withoutALayoutThereIsNothingToReplay() {
        assertTrue(new HandMadeBus(1).frame(0.5, 1, 0, 1).replay(null).instruments().isEmpty());
    }
}
