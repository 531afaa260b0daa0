package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;

import buswitness.calibrate.Calibration;
import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.Payloads;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * One sender of a message has twice the other's period, and another frame of its node holds every second one up: the
 * faster one's even and odd frames are one schedule all the same.
 */
class CombHalvesTest {
    private static final int ID = 0x1D0;

    private static List<Long> periodsInMillis(FrameLogs bus) {
        Made made = bus.make();
        return Senders.find(made.log(), made.bus(), made.gaps(), null).tracks(MessageKey.can(ID, false)).stream()
                .filter(Track::cyclic).map(t -> Math.round(t.periodSeconds() * 1e3)).sorted().toList();
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void twiceThePeriodBesideACounter(long seed) {
        FrameLogs bus = new FrameLogs(125_000, 30, seed);
        bus.node(20).every(0x120, 0.2, 0.0125, Payloads.constant(1, 2, 3, 4, 5, 6, 7, 8))
                .every(ID, 0.1, 0.013, Payloads.slow(8, 200, 0.5, true));
        bus.node(-45).every(ID, 0.2, 0.037 + 0.002 * seed, Payloads.slow(8, 40, 0.5, true));
        assertEquals(List.of(100L, 200L), periodsInMillis(bus));
    }

    /** Random buses on which the longer period described the frames more tidily than the two that are true. */
    @ParameterizedTest
    @CsvSource({"41000651, 1A5E57E3, 50, 100", "41000779, 32F, 100, 200"})
    void halvesOfRandomBusesArePutTogether(long seed, String identifier, long shorter, long longer) {
        int id = Integer.parseInt(identifier, 16);
        List<Long> periods = Calibration.only(seed, 8000).findings().senders()
                .tracks(MessageKey.can(id, id > 0x7FF)).stream().filter(Track::cyclic).map(t -> Math.round(t.periodSeconds() * 1e3)).sorted().toList();
        assertEquals(List.of(shorter, longer), periods);
    }

    /** Three senders of one period, two of them half a period apart, are not taken for two. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4})
    void threeSendersOfOnePeriodStayThree(long seed) {
        FrameLogs bus = new FrameLogs(125_000, 30, seed);
        bus.node(20).every(ID, 0.2, 0.013, Payloads.slow(8, 200, 0.5, true));
        bus.node(-45).every(ID, 0.2, 0.113, Payloads.slow(8, 40, 0.5, true));
        bus.node(70).every(ID, 0.2, 0.051, Payloads.slow(8, 90, 0.5, true));
        assertEquals(List.of(200L, 200L, 200L), periodsInMillis(bus));
    }
}
