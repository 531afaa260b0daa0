package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.problem.NoticeLog;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * What every decoder owes: frames do not depend on how the input is chopped; cut anywhere or damaged anywhere, nothing
 * is lost, nothing is invented, and the damage is where it was done.
 */
class DecoderContractTest {
    private static final double RATE = 250_000;
    private static final long BIT = 4_000_000;

    /** Every column of every frame, as text. */
    static List<String> rows(FrameLog log) {
        List<String> rows = new ArrayList<>();
        for (int i = 0; i < log.size(); i++) {
            rows.add(log.startPicos(i) + " " + log.endPicos(i) + " " + MessageKey.text(log.key(i)) + " "
                    + java.util.HexFormat.of().formatHex(log.data(i)) + " code " + log.lengthCode(i) + " "
                    + log.fault(i) + "@" + log.faultBit(i) + " free " + log.isFreeStart(i) + " ack "
                    + log.isAcknowledged(i) + " remote " + log.isRemote(i) + " glitches " + log.glitches(i) + " ppm " + log.bitPpm(i) + "±"
                    + log.bitPpmError(i) + " asym " + log.asymmetryNanos(i) + "±" + log.asymmetryErrorNanos(i)
                    + " wire " + log.wireBits(i));
        }
        return rows;
    }

    /** Traffic with everything in it: faults, flags, ringing, noise, pauses. */
    private static WireSketch.Recorded busy(int frames, long seed) {
        Random random = new Random(seed);
        WireSketch wire = new WireSketch(RATE, seed).tick(50_000).jitter(30_000).ringing(0.05).sender(800, 90_000);
        wire.idle(20);
        for (int i = 0; i < frames; i++) {
            byte[] data = new byte[random.nextInt(9)];
            random.nextBytes(data);
            boolean extended = random.nextInt(4) == 0;
            int id = random.nextInt(extended ? 0x1FFFFFFF : 0x7FF);
            BitString bits = CanFrameBits.unstuffed(id, extended, false, data.length, data);
            String body = CanFrameBits.stuffed(bits).toString();
            switch (random.nextInt(8)) {
                case 0 -> wire.send(body.substring(0, 1 + random.nextInt(body.length())) + "000000111"
                        + "00000011111111111");
                case 1 -> wire.send(body + "11" + "0000001111111111" + "1");
                case 2 -> wire.send(body + "1011111111" + "000000011111111" + "111");
                case 3 -> wire.idle(20 + random.nextInt(2000))
                        .send("0".repeat(1 + random.nextInt(30)) + "1".repeat(30));
                default -> wire.send(body + WireSketch.TAIL + WireSketch.INTERMISSION);
            }
            if (random.nextBoolean()) wire.idle(random.nextDouble() * 200);
        }
        return wire.idle(30).record();
    }

    /** Enough changes that the head of the recording ends within a block. */
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 7, 64})
    void framesDoNotDependOnHowTheInputIsChopped(int atOnce) {
        WireSketch.Recorded recorded = busy(1300, 4);
        assertTrue(recorded.atPicos().length > 40_000, "longer than the head: " + recorded.atPicos().length);
        FrameReader whole = new FrameReader(new FrameReader.Options(null, Double.NaN), 0, new NoticeLog(10));
        recorded.feed(whole, EdgeBlock.CAPACITY);
        FrameReader chopped = new FrameReader(new FrameReader.Options(null, Double.NaN), 0, new NoticeLog(10));
        recorded.feed(chopped, atOnce);
        assertEquals(whole.finish().bus(), chopped.finish().bus());
        assertEquals(rows(whole.finish().frames()), rows(chopped.finish().frames()));
    }

    private record Train(WireSketch.Recorded recorded, List<String> bits, List<Long> at, List<Integer> identifiers) {}

    /** Frames back to back; frame {@code flipIn} has one bit turned over, at {@code flipBit} from its start. */
    private static Train train(int frames, boolean extended, long seed, int flipIn, int flipBit) {
        Random random = new Random(seed);
        WireSketch wire = new WireSketch(RATE, seed).idle(40);
        Train train = new Train(null, new ArrayList<>(), new ArrayList<>(), new ArrayList<>());
        for (int i = 0; i < frames; i++) {
            byte[] data = new byte[4];
            random.nextBytes(data);
            int id = random.nextInt(extended ? 0x1FFFFFFF : 0x7FF);
            String bits = CanFrameBits.stuffed(CanFrameBits.unstuffed(id, extended, false, 4, data)) + WireSketch.TAIL
                    + WireSketch.INTERMISSION;
            train.bits.add(bits);
            train.identifiers.add(id);
            if (i == flipIn) {
                char turned = bits.charAt(flipBit) == '0' ? '1' : '0';
                bits = bits.substring(0, flipBit) + turned + bits.substring(flipBit + 1);
            }
            train.at.add(Math.round(wire.send(bits)));
        }
        return new Train(wire.idle(40).record(), train.bits, train.at, train.identifiers);
    }

    private static int find(FrameLog log, Train train, int frame) {
        for (int i = 0; i < log.size(); i++) {
            if (log.isWhole(i) && log.startPicos(i) == train.at.get(frame)
                    && MessageKey.identifier(log.key(i)) == train.identifiers.get(frame)) return i;
        }
        return -1;
    }

    /** One bit turned over, nobody answers: the other frames stand, and the damage is told where it is. */
    @ParameterizedTest
    @ValueSource(booleans = {false, true})
    void everyBitTurnedOver(boolean extended) {
        int inventions = 0;
        int flips = 0;
        for (long seed = 1; seed <= 6; seed++) {
            int length = train(5, extended, seed, -1, 0).bits.get(2).length();
            for (int bit = 0; bit < length; bit++) {
                Train train = train(5, extended, seed, 2, bit);
                FrameLog log = train.recorded.decodeAt(RATE).frames();
                String what = "seed " + seed + ", bit " + bit + " of " + length + ": " + rows(log);
                long from = train.at.get(2);
                long until = train.at.get(3);
                boolean startsEarly = bit == length - 1;
                for (int frame : new int[] {0, 1, 3, 4}) {
                    if (frame == 3 && startsEarly) continue;
                    assertTrue(find(log, train, frame) >= 0, "frame " + frame + " lost; " + what);
                }
                // The acknowledge slot may have either level in a frame that is whole but for it, and a dominant last
                // bit of end of frame, or one between frames, does not unmake the frame before it.
                int tail = bit - (length - 13);
                boolean stands = tail >= 9;
                assertEquals(stands, find(log, train, 2) >= 0, what);
                int others = 0;
                for (int i = 0; i < log.size(); i++) {
                    boolean known = false;
                    for (int frame = 0; frame < 5; frame++) known |= i == find(log, train, frame);
                    if (known) continue;
                    others++;
                    if (log.isWhole(i)) inventions++;
                    long latest = startsEarly ? train.at.get(4) : until;
                    assertTrue(log.startPicos(i) >= from && log.startPicos(i) < latest, "damage outside; " + what);
                    if (!startsEarly) assertTrue(log.endPicos(i) <= until + 1000, "damage ends outside; " + what);
                }
                flips++;
                assertTrue(others >= 1, "damage not told; " + what);
            }
        }
        assertTrue(flips > 400);
        assertEquals(0, inventions, "whole frames that nobody sent, of " + flips);
    }

    /** Cut out of a longer recording anywhere: frames that lie inside are whole, those on the cut are cut. */
    @Test
    void cutAnywhere() {
        Train train = train(6, false, 3, -1, 0);
        long step = BIT / 3;
        long last = train.at.get(1) + train.bits.get(1).length() * BIT;
        for (long from = train.at.get(1) - 20 * BIT; from < last; from += step) {
            FrameReader reader = new FrameReader(new FrameReader.Options("can", RATE), 0, new NoticeLog(10));
            train.recorded.feed(reader, 64, from, train.recorded.endPicos());
            FrameLog log = reader.finish().frames();
            String what = "from " + from + ": " + rows(log);
            for (int frame = 0; frame < 6; frame++) {
                // Nothing counts before eleven recessive bits: a frame's own end and intermission give them.
                long idleFrom = frame == 0 ? train.at.get(0) : train.at.get(frame) - 11 * BIT;
                if (from <= idleFrom - BIT) assertTrue(find(log, train, frame) >= 0, frame + " lost " + what);
                if (from > train.at.get(frame)) assertEquals(-1, find(log, train, frame), "invented " + what);
            }
            assertTrue(log.wholeCount() >= 3, what);
            for (int i = 0; i < log.size(); i++) {
                if (!log.isWhole(i)) assertEquals(FrameFault.CUT, log.fault(i), what);
            }
            assertTrue(log.size() - log.wholeCount() <= 1, what);
        }
        for (long until = train.at.get(4) + BIT; until < train.at.get(5); until += step) {
            FrameReader reader = new FrameReader(new FrameReader.Options("can", RATE), 0, new NoticeLog(10));
            train.recorded.feed(reader, 64, 0, until);
            FrameLog log = reader.finish().frames();
            String what = "until " + until + ": " + rows(log);
            assertEquals(5, log.size(), what);
            long valid = train.at.get(4) + (train.bits.get(4).length() - 4) * BIT;
            if (Math.abs(until - valid) > 6 * BIT / 10) assertEquals(until > valid, log.isWhole(4), what);
            if (!log.isWhole(4)) {
                assertEquals(FrameFault.CUT, log.fault(4), what);
                long read = (until - train.at.get(4)) / BIT;
                assertTrue(Math.abs(log.wireBits(4).size() - read) <= 1, read + " bits were there; " + what);
                if (read > 22) assertEquals((long) train.identifiers.get(4), MessageKey.identifier(log.key(4)), what);
            }
            assertEquals(Math.min(until, valid + BIT), log.endPicos(4), 1_000, what);
        }
    }

    /** A gap anywhere: the frame in it is cut before it, nothing is read across it, reading goes on after it. */
    @Test
    void gapsAreNeverBridged() {
        Train train = train(6, false, 8, -1, 0);
        for (long from = train.at.get(2) - 3 * BIT; from < train.at.get(3); from += BIT / 2) {
            long until = from + 30 * BIT;
            FrameReader reader = new FrameReader(new FrameReader.Options("can", RATE), 0, new NoticeLog(10));
            feedWithGap(train.recorded, reader, from, until);
            Decoded decoded = reader.finish();
            FrameLog log = decoded.frames();
            String what = "gap from " + from + ": " + rows(log);
            assertEquals(List.of(new Gap(from, until, "the recorder paused")), decoded.gaps());
            for (int i = 0; i < log.size(); i++) {
                assertTrue(log.endPicos(i) <= from + 1000 || log.startPicos(i) >= until, "across the gap; " + what);
                if (log.isWhole(i)) {
                    int frame = train.at.indexOf(log.startPicos(i));
                    assertTrue(frame >= 0, "invented; " + what);
                    assertEquals((long) train.identifiers.get(frame), MessageKey.identifier(log.key(i)), what);
                } else {
                    assertEquals(FrameFault.CUT, log.fault(i), what);
                }
                if (log.startPicos(i) >= until) assertTrue(log.isWhole(i) || log.startPicos(i) == until, what);
            }
            assertTrue(find(log, train, 0) >= 0 && find(log, train, 1) >= 0 && find(log, train, 5) >= 0, what);
        }
    }

    private static void feedWithGap(WireSketch.Recorded recorded, FrameReader reader, long from, long until) {
        EdgeBlock block = new EdgeBlock();
        reader.begin(0, 0, recorded.firstLevel());
        boolean gap = false;
        int level = recorded.firstLevel();
        for (int i = 0; i < recorded.atPicos().length; i++) {
            long at = recorded.atPicos()[i];
            if (at > from && !gap) {
                reader.edges(block);
                block.count = 0;
                reader.gap(-1, from, until, "the recorder paused");
                gap = true;
            }
            if (at <= from || at > until) {
                if (at > until && level >= 0) {
                    reader.begin(0, until, 1 - recorded.level()[i]);
                    level = -1;
                }
                block.atPicos[block.count] = at;
                block.level[block.count++] = recorded.level()[i];
            }
        }
        reader.edges(block);
        reader.end(recorded.endPicos());
    }

    /** Random levels at random times: whatever is read lies in the recording, in order, and is hardly ever whole. */
    @Test
    void noiseIsNotTakenForFrames() {
        Random random = new Random(6);
        int whole = 0;
        for (int round = 0; round < 20; round++) {
            WireSketch wire = new WireSketch(RATE, round).idle(30);
            StringBuilder bits = new StringBuilder();
            for (int i = 0; i < 20_000; i++) bits.append(random.nextInt(20) == 0 ? "111111111111" : random.nextInt(2));
            wire.send(bits.toString());
            FrameLog log = wire.idle(30).record().decodeAt(RATE).frames();
            assertTrue(log.size() > 10);
            long busy = 0;
            for (int i = 0; i < log.size(); i++) {
                if (i > 0) assertTrue(log.startPicos(i) >= log.endPicos(i - 1) - 1000, "overlap at " + i);
                busy += log.endPicos(i) - log.startPicos(i);
            }
            assertTrue(busy > 0);
            whole += log.wholeCount();
        }
        assertTrue(whole <= 4, whole + " whole frames out of noise");
    }
}
