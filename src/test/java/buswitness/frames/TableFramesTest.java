package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.FrameRow;
import buswitness.capture.FrameTableInfo;
import buswitness.capture.FrameTableInfo.Stamped;
import buswitness.capture.RecordingInfo;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class TableFramesTest {
    private static final double RATE = 500_000;

    private static FrameTableInfo info(Stamped stamped, double rate, long last) {
        return new FrameTableInfo(new RecordingInfo("t.csv", "frame table", "", 1e6, List.of(""), List.of()), stamped,
                rate, 1, 0, last);
    }

    /** The same traffic off the wire and off a table of ends agrees in every start, end and free start. */
    @Test
    void tableOfEndsGivesTheStartsOfTheWire() {
        Random random = new Random(2);
        WireSketch wire = new WireSketch(RATE, 1).idle(50);
        for (int i = 0; i < 200; i++) {
            byte[] data = new byte[random.nextInt(9)];
            random.nextBytes(data);
            boolean extended = random.nextBoolean();
            wire.frame(random.nextInt(extended ? 0x1FFFFFFF : 0x7FF), extended, false, data.length, data);
            if (random.nextBoolean()) wire.idle(random.nextInt(60));
        }
        FrameLog truth = wire.idle(50).record().decodeAt(RATE).frames();
        assertEquals(200, truth.wholeCount());
        TableFrames table = new TableFrames();
        for (int i = 0; i < truth.size(); i++) table.accept(row(truth, i, truth.endPicos(i)));
        FrameLog read = table.finish(info(Stamped.END, RATE, truth.endPicos(199))).frames();
        int free = 0;
        int held = 0;
        for (int i = 0; i < 200; i++) {
            assertEquals(truth.startPicos(i), read.startPicos(i), 2000);
            assertEquals(truth.endPicos(i), read.endPicos(i), 2000);
            assertEquals(MessageKey.text(truth.key(i)), MessageKey.text(read.key(i)));
            assertEquals(truth.dataWord(i), read.dataWord(i));
            assertTrue(Float.isNaN(read.bitPpm(i)) && Float.isNaN(read.asymmetryNanos(i)) && read.isWhole(i));
            if (i > 0 && read.isFreeStart(i)) free++;
            // One step of the table's clock is taken off the silence: free only where the wire says so too.
            if (read.isFreeStart(i)) assertTrue(truth.isFreeStart(i), "frame " + i);
            else held++;
        }
        assertTrue(free > 30 && held > 30, free + " free, " + held + " held");
    }

    private static FrameRow row(FrameLog log, int i, long stamp) {
        return new FrameRow(stamp, (int) MessageKey.identifier(log.key(i)), log.isExtended(i), log.data(i), i + 2);
    }

    private static FrameRow at(long micros, int line) {
        return new FrameRow(micros * 1_000_000, 0x123, false, new byte[] {1}, line);
    }

    @Test
    void nothingIsFreeWithoutStampAndRate() {
        for (FrameTableInfo info : List.of(info(Stamped.UNKNOWN, RATE, 0), info(Stamped.START, Double.NaN, 0),
                info(Stamped.END, Double.NaN, 0))) {
            TableFrames table = new TableFrames();
            for (int i = 0; i < 5; i++) table.accept(at(i * 100_000L, i + 2));
            Decoded decoded = table.finish(info);
            for (int i = 0; i < 5; i++) {
                assertFalse(decoded.frames().isFreeStart(i), info.toString());
                assertEquals(i * 100_000_000_000L, decoded.frames().startPicos(i));
            }
            assertFalse(decoded.bus().wire());
            assertEquals(Double.isNaN(info.bitsPerSecond()), Double.isNaN(decoded.bus().load()));
        }
    }

    /** A row that was left out, and the first row, leave the next without a known predecessor. */
    @Test
    void freeOnlyAfterAKnownPredecessor() {
        TableFrames table = new TableFrames();
        int[] lines = {2, 3, 5, 6};
        for (int i = 0; i < 4; i++) table.accept(at(i * 100_000L, lines[i]));
        FrameLog log = table.finish(info(Stamped.START, RATE, 0)).frames();
        assertFalse(log.isFreeStart(0));
        assertTrue(log.isFreeStart(1));
        assertFalse(log.isFreeStart(2));
        assertTrue(log.isFreeStart(3));
    }

    @Test
    void rowsOutOfOrderAreSorted() {
        TableFrames table = new TableFrames();
        for (long micros : new long[] {0, 2000, 1000, 3000}) table.accept(at(micros, 2));
        FrameLog log = table.finish(info(Stamped.START, RATE, 3_000_000_000L)).frames();
        for (int i = 0; i < 4; i++) assertEquals(i * 1_000_000_000L, log.startPicos(i));
        assertEquals(0, new TableFrames().finish(info(Stamped.START, RATE, 0)).frames().size());
    }
}
