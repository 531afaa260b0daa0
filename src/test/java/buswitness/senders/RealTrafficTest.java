package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Real traffic of one car; a development set: the method was looked at on it, so the figures are no held-out test. */
class RealTrafficTest {
    @BeforeEach
    void present() {
        Assumptions.assumeTrue(RealTraffic.present(), "left out: no real traffic in " + RealTraffic.folder());
    }

    @Test
    void cleanTrafficHasNoMessageWithTwoDriftingCombs() throws IOException {
        RealTraffic traffic = RealTraffic.read("clean.zip");
        SenderFindings f = Senders.find(traffic.log(), traffic.bus(), List.of(), null);
        assertEquals(50, f.timings().size(), "identifiers of the data set");
        for (MessageTiming t : f.timings()) {
            assertFalse(SenderErrorRates.drifting(f, t.key()), MessageKey.text(t.key()) + " " + t);
            assertTrue(t.events() < 3 || t.combs() == 0, MessageKey.text(t.key()) + " " + t);
        }
    }

    @Test
    void labelledRowsOfTheSecondSenderAreFound() throws IOException {
        RealTraffic traffic = RealTraffic.read("second-sender-145-and-8.zip");
        SenderFindings f = Senders.find(traffic.log(), traffic.bus(), List.of(), null);
        for (int id : new int[] {0x145, 0x8}) {
            long key = MessageKey.can(id, false);
            assertTrue(f.timing(key).splitGaps() >= 3, f.timing(key).toString());
            assertTrue(balancedAccuracy(traffic, f, key) > 0.99, MessageKey.text(key));
        }
        for (MessageTiming t : f.timings()) {
            if (MessageKey.identifier(t.key()) == 0x145 || MessageKey.identifier(t.key()) == 0x8) continue;
            assertEquals(0, t.splitGaps(), MessageKey.text(t.key()));
        }
    }

    private static double balancedAccuracy(RealTraffic traffic, SenderFindings f, long key) {
        FrameLog log = traffic.log();
        int[] all = new int[2];
        int[] right = new int[2];
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != key) continue;
            int second = traffic.second()[i] ? 1 : 0;
            all[second]++;
            boolean event = f.trackOf(i) >= 0 && !f.tracks().get(f.trackOf(i)).cyclic();
            if (f.trackOf(i) >= 0 && event == (second == 1)) right[second]++;
        }
        return ((double) right[0] / all[0] + (double) right[1] / all[1]) / 2;
    }
}
