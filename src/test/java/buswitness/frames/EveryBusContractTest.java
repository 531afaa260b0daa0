package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** One contract for every coding: what was sent is read; cut or damaged anywhere, nothing is lost and nothing invented. */
class EveryBusContractTest {
    static List<String> buses() {
        return BusSamples.ALL;
    }

    static void assertRead(FormatSketch line, FrameLog log, String what) {
        assertEquals(line.sent.size(), log.size(), () -> what + ": " + DecoderContractTest.rows(log));
        for (int i = 0; i < log.size(); i++) {
            FormatSketch.Sent sent = line.sent.get(i);
            String row = what + ", frame " + i + " of " + sent.bits() + ": " + DecoderContractTest.rows(log).get(i);
            assertEquals(FrameFault.NONE, log.fault(i), row);
            assertEquals(sent.startMicros(), log.startPicos(i) * 1e-6, 11, row);
            assertArrayEquals(sent.data(), log.data(i), row);
        }
    }

    @ParameterizedTest
    @MethodSource("buses")
    void whatWasSentIsRead(String bus) {
        FormatSketch line = BusSamples.traffic(bus, 60, 5);
        assertRead(line, line.record(1, false).decode(BusSamples.told(bus)).frames(), bus);
    }
}
