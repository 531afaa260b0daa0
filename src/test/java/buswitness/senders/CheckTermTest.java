package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Two nodes say the same in one message; only the check sum inside the payload has another start value, or is missing. */
class CheckTermTest {
    private static final int ID = 0x1D0;
    private static final long KEY = MessageKey.can(ID, false);

    /** A measured value with noise in its lowest bits and, unless {@code seed} is below 0, a CRC-8 of 0x1D over it. */
    private static FrameLogs.Payload data(int seed) {
        return (count, time, random) -> {
            byte[] d = new byte[4];
            int value = (int) (900 + 60 * Math.sin(time / 5) + random.nextInt(6));
            d[0] = (byte) (value >> 8);
            d[1] = (byte) value;
            d[2] = (byte) random.nextInt(4);
            d[3] = seed < 0 ? (byte) random.nextInt(256)
                    : (byte) CheckRule.CRC_1D.start(seed, CheckRule.CRC_1D.over(d, 0, 3, 3));
            return d;
        };
    }

    /** Their schedules cross twice in the recording; each figure: frames, right, left open. */
    private static int[] attributed(int firstSeed, int secondSeed) {
        int[] sum = new int[3];
        for (int seed = 1; seed <= 6; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            FrameLogs bus = new FrameLogs(125_000, 60, seed);
            bus.node(22, 0.3, 80e-6).every(ID, 0.1, 0.0130, data(firstSeed));
            bus.node(-14, 0.3, 80e-6).every(ID, 0.1, 0.0141 + 0.0002 * random.nextDouble(), data(secondSeed));
            FrameLogs.Made made = bus.make();
            SenderFindings f = Senders.find(made.log(), made.bus(), made.gaps(), null);
            FrameLog log = made.log();
            int[][] votes = new int[f.tracks().size()][2];
            for (int i = 0; i < log.size(); i++) {
                if (log.key(i) != KEY || !log.isWhole(i) || made.senderOf()[i] < 0) continue;
                sum[0]++;
                if (f.trackOf(i) < 0) sum[2]++;
                else votes[f.trackOf(i)][made.senderOf()[i]]++;
            }
            for (int[] v : votes) sum[1] += Math.max(v[0], v[1]);
        }
        return sum;
    }

    @Test
    void aCheckSumOfAnotherProgramNamesTheSender() {
        int[] alike = attributed(0x00, 0x00);
        for (int other : new int[] {0x5A, -1}) {
            int[] unlike = attributed(0x00, other);
            String said = "open " + unlike[2] + " of " + unlike[0] + ", right " + unlike[1] + "; with one check sum open "
                    + alike[2] + " of " + alike[0] + ", right " + alike[1];
            assertTrue(unlike[1] >= 0.995 * unlike[0], said);
            assertTrue(unlike[1] > alike[1], said);
        }
    }
}
