package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** A damaged compact recording: whole blocks all survive, the damage is named by byte and time, nothing is bridged. */
class CompactDamageTest {
    private static final Invented RECORDING =
            new Invented(Invented.info(1e12 / 72e6, "bus", "key"), true, true, 61, 40_000);
    private static final byte[] WHOLE = write();

    /** One block as the page in captures/README.md lays it out, found without our reader. */
    private record Block(int offset, int end, char kind) {}

    private static final List<Block> BLOCKS = blocks();

    private static byte[] write() {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (RecordingWriter to = Recordings.writeCompact(out, RECORDING.info())) {
            RECORDING.tell(to);
        } catch (IOException e) {
            throw new AssertionError(e);
        }
        return out.toByteArray();
    }

    private static List<Block> blocks() {
        List<Block> found = new ArrayList<>();
        int at = 8;
        while (at + 17 <= WHOLE.length && WHOLE[at] == (byte) 0xD7) {
            int length = (WHOLE[at + 9] & 0xFF) | (WHOLE[at + 10] & 0xFF) << 8 | (WHOLE[at + 11] & 0xFF) << 16;
            found.add(new Block(at, at + 17 + length, (char) WHOLE[at + 4]));
            at += 17 + length;
        }
        assertEquals(12, WHOLE.length - at, "only the trailer is left");
        return found;
    }

    /** Every change as (line, time, level), and every stretch told to be unknown. */
    private static final class Collected implements EdgeSink {
        final TreeSet<Long> changes = new TreeSet<>();
        final List<long[]> gaps = new ArrayList<>();
        long ended = -1;

        @Override
        public void begin(int line, long atPicos, int level) {}

        @Override
        public void edges(EdgeBlock block) {
            for (int i = 0; i < block.count; i++) {
                changes.add((block.atPicos[i] << 2) | block.line << 1 | block.level[i]);
            }
        }

        @Override
        public void gap(int line, long from, long until, String why) {
            gaps.add(new long[] {from, until});
        }

        @Override
        public void end(long atPicos) {
            ended = atPicos;
        }

        boolean unknownAt(long at) {
            return at > ended || gaps.stream().anyMatch(g -> at >= g[0] && at <= g[1]);
        }
    }

    private static final Collected TRUTH = new Collected();

    static {
        Given.open(WHOLE).read(TRUTH, Progress.SILENT);
    }

    /** Reads damaged bytes and holds the result against the whole recording. @return changes lost */
    private static int check(byte[] damaged, long firstBadByte, int blocksHit) {
        Recording recording = Given.open(damaged);
        Collected got = new Collected();
        recording.read(got, Progress.SILENT);
        if (firstBadByte % 5 == 0) recording.read(new Heard(true), Progress.SILENT);      // it checks the promises
        assertTrue(TRUTH.changes.containsAll(got.changes), "a change that was never recorded");
        TreeSet<Long> lost = new TreeSet<>(TRUTH.changes);
        lost.removeAll(got.changes);
        for (long change : lost) assertTrue(got.unknownAt(change >> 2), "bridged at " + (change >> 2));
        assertTrue(lost.size() <= blocksHit * 8300, lost.size() + " changes lost from " + blocksHit + " blocks");
        assertTrue(recording.notices().seen() > 0, "the damage at byte " + firstBadByte + " was not said");
        Place place = recording.notices().kept().get(0).place();
        assertTrue(place.byteOffset() <= firstBadByte && place.atPicos() >= 0, place.describe());
        Block at = BLOCKS.stream().filter(b -> b.end > firstBadByte).findFirst().orElse(null);
        if (at != null && at.offset > 8) assertEquals(at.offset, place.byteOffset());
        return lost.size();
    }

    @Test
    void aFlippedByteCostsOneBlock() {
        SplittableRandom random = new SplittableRandom(62);
        assertTrue(BLOCKS.size() > 8, BLOCKS.size() + " blocks");
        int lossless = 0;
        for (int n = 0; n < 120; n++) {
            byte[] damaged = WHOLE.clone();
            int at = random.nextInt(damaged.length);
            damaged[at] ^= (byte) (1 << random.nextInt(8));
            if (check(damaged, at, 1) == 0) lossless++;
        }
        assertTrue(lossless < 15, lossless + " of 120 flips cost nothing");
    }

    @Test
    void everyByteOfHeadsAndTailsMayBeFlipped() {
        for (Block block : BLOCKS) {
            for (int at = block.offset; at < block.offset + 17; at += 4) {
                byte[] damaged = WHOLE.clone();
                damaged[at] ^= 0x41;
                int lost = check(damaged, at, 1);
                assertTrue(block.kind == 'C' == lost > 0, block + " lost " + lost);
            }
        }
        for (int at = WHOLE.length - 12; at < WHOLE.length; at++) {
            byte[] damaged = WHOLE.clone();
            damaged[at] ^= 0x41;
            assertEquals(0, check(damaged, at, 0), "the trailer holds no change");
        }
    }

    @Test
    void cutAnywhereIsReadUpToTheCut() {
        SplittableRandom random = new SplittableRandom(63);
        for (int n = 0; n < 100; n++) {
            int length = BLOCKS.get(0).end + random.nextInt(WHOLE.length - BLOCKS.get(0).end);
            byte[] cut = Arrays.copyOf(WHOLE, length);
            boolean anyChange = BLOCKS.stream().anyMatch(b -> b.kind == 'C' && b.end <= length);
            if (!anyChange) {
                assertTrue(Given.fault(cut).what().contains("cut short before any line changes"));
                continue;
            }
            Collected got = new Collected();
            Recording recording = Given.open(cut);
            recording.read(got, Progress.SILENT);
            TreeSet<Long> expected = new TreeSet<>(TRUTH.changes.headSet((got.ended + 1) << 2));
            assertTrue(expected.containsAll(got.changes));
            expected.removeAll(got.changes);
            for (long change : expected) assertTrue(got.unknownAt(change >> 2), "bridged at " + (change >> 2));
            assertTrue(recording.notices().seen() > 0);
        }
    }

    @Test
    void aMissingMiddleIsNoticedEvenWhereTheSeamFallsBetweenBlocks() {
        List<Block> changes = BLOCKS.stream().filter(b -> b.kind == 'C').toList();
        Block first = changes.get(2);
        Block last = changes.get(4);
        byte[] damaged = new byte[WHOLE.length - (last.end - first.offset)];
        System.arraycopy(WHOLE, 0, damaged, 0, first.offset);
        System.arraycopy(WHOLE, last.end, damaged, first.offset, WHOLE.length - last.end);
        int lost = check(damaged, first.offset, 3);
        assertTrue(lost > 8_000, "lost " + lost);
    }

    @Test
    void bothHeadersLostCostOnlyTheNames() {
        byte[] damaged = WHOLE.clone();
        damaged[BLOCKS.get(0).offset + 20] ^= 1;
        damaged[BLOCKS.get(1).offset + 20] ^= 1;
        Recording recording = Given.open(damaged);
        assertEquals(List.of("line 1", "line 2"), recording.info().lines());
        assertEquals(1e12 / 72e6, recording.info().tickPicos(), 1e-9);
        assertEquals(0, check(damaged, BLOCKS.get(0).offset, 0));
    }

    @Test
    void aBlockThatContradictsItselfIsAFaultNotATrace() {
        SplittableRandom random = new SplittableRandom(64);
        Block block = BLOCKS.stream().filter(b -> b.kind == 'C').skip(1).findFirst().orElseThrow();
        int faults = 0;
        for (int n = 0; n < 200; n++) {
            byte[] wrong = WHOLE.clone();
            wrong[block.offset + 17 + random.nextInt(block.end - block.offset - 17)] ^= (byte) (1 << random.nextInt(8));
            java.util.zip.CRC32 crc = new java.util.zip.CRC32();
            crc.update(wrong, block.offset + 4, 9);
            crc.update(wrong, block.offset + 17, block.end - block.offset - 17);
            for (int i = 0; i < 4; i++) wrong[block.offset + 13 + i] = (byte) (crc.getValue() >>> 8 * i);
            try {
                Given.open(wrong).read(new Collected(), Progress.SILENT);
            } catch (InputFault fault) {
                assertTrue(fault.place().byteOffset() >= 0, fault.getMessage());
                faults++;
            }
        }
        assertTrue(faults > 30, faults + " of 200 forged blocks were refused");
    }
}
