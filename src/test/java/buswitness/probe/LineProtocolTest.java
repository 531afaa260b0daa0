package buswitness.probe;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.RecordingInfo;
import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.zip.CRC32;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The line protocol on damaged lines: what arrives is true, what is missing is a gap. */
class LineProtocolTest {
    private static final double TICK = 1e12 / 72e6;

    /** Check value of CRC-32 as zip and Ethernet use it: "123456789" gives CBF43926 (common practice, from memory). */
    @Test
    void theSumIsTheOneOfZip() {
        CRC32 crc = new CRC32();
        crc.update("123456789".getBytes(java.nio.charset.StandardCharsets.US_ASCII));
        assertEquals(0xCBF43926L, crc.getValue());
    }

    @Test
    void blocksHoldNoZeroAndComeBack() {
        SplittableRandom random = new SplittableRandom(1);
        for (int n = 0; n < 2000; n++) {
            byte[] content = new byte[2 + random.nextInt(600)];
            for (int i = 0; i < content.length; i++) content[i] = (byte) (n % 3 == 0 ? random.nextInt(256) : random.nextInt(2) * 7);
            if (n % 3 == 1) Arrays.fill(content, (byte) 9);
            byte[] wrapped = Blocks.wrap(content);
            for (int i = 0; i < wrapped.length - 1; i++) assertTrue(wrapped[i] != 0);
            assertEquals(0, wrapped[wrapped.length - 1]);
            assertTrue(wrapped.length <= content.length + 4 + 2 + content.length / 254 + 1);
            assertArrayEquals(content, Blocks.unwrap(wrapped, wrapped.length - 1));
            wrapped[random.nextInt(wrapped.length - 1)] ^= 1 << random.nextInt(8);
            byte[] altered = Blocks.unwrap(wrapped, wrapped.length - 1);
            assertNull(altered);
        }
    }

    /** The example of captures/probe-protocol.md. */
    @Test
    void theDocumentsExample() {
        LineEncoder encoder = new LineEncoder();
        encoder.info(1_000_000, "bus");
        byte[] block = encoder.changes(1000, 1, false, new long[] {1008, 1032, 1332}, 3, 2000);
        String bytes = HexFormat.ofDelimiter(" ").withUpperCase().formatHex(block);
        System.out.println("example block: " + bytes);
        assertTrue(bytes.startsWith("05 43 01 E8 03 01 01 01 "), bytes);
        assertTrue(bytes.contains(" 01 08 18 AC 02 9C 05 "), bytes);
    }

    /** Collects what the recorder would write. */
    private static final class Written implements EdgeSink {
        final TreeMap<Long, Integer> changes = new TreeMap<>();
        final List<long[]> unknown = new ArrayList<>();
        final TreeMap<Long, Integer> begins = new TreeMap<>();
        long last = -1;

        @Override
        public void begin(int line, long atPicos, int level) {
            begins.put(atPicos, level);
        }

        @Override
        public void edges(EdgeBlock block) {
            for (int i = 0; i < block.count; i++) {
                assertTrue(block.atPicos[i] > last, "time goes on");
                last = block.atPicos[i];
                changes.put(last, (int) block.level[i]);
            }
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {
            assertTrue(untilPicos > fromPicos && fromPicos >= last);
            unknown.add(new long[] {fromPicos, untilPicos});
        }

        @Override
        public void end(long atPicos) {}

        boolean isUnknown(long at) {
            return unknown.stream().anyMatch(g -> at >= g[0] && at <= g[1]);
        }
    }

    private static TreeMap<Long, Integer> truth() {
        SplittableRandom random = new SplittableRandom(3);
        TreeMap<Long, Integer> truth = new TreeMap<>();
        long tick = 100;
        int level = 1;
        for (int i = 0; i < 20_000; i++) {
            tick += 576L * (1 + random.nextInt(5)) + (random.nextInt(40) == 0 ? random.nextInt(5_000_000) : 0);
            truth.put(Math.round(tick * TICK), level ^= 1);
        }
        return truth;
    }

    private static byte[] sent(TreeMap<Long, Integer> truth) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        RecordingInfo info = new RecordingInfo("<made>", "made", "", TICK, List.of("bus"), List.of());
        EmulatedProbe probe = new EmulatedProbe(out, 0, info, 1e12);
        probe.begin(0, 0, 1);
        EdgeBlock block = new EdgeBlock();
        truth.forEach((at, level) -> {
            block.atPicos[block.count] = at;
            block.level[block.count++] = (byte) (int) level;
            if (block.count < EdgeBlock.CAPACITY) return;
            probe.edges(block);
            block.count = 0;
        });
        probe.edges(block);
        probe.end(truth.lastKey() + 5_000_000);
        return out.toByteArray();
    }

    private static LineDecoder received(byte[] line, Written written) {
        Timeline[] timeline = {null};
        LineDecoder decoder = new LineDecoder(new LineDecoder.Listener() {
            @Override
            public void info(long hertz, String name) {
                if (timeline[0] == null) timeline[0] = new Timeline(written, hertz);
                assertEquals(72_000_000, hertz);
            }

            @Override
            public void changes(long since, int level, boolean missed, long[] after, int count) {
                if (timeline[0] != null) timeline[0].take(since, level, missed, after, count, 0);
            }
        });
        for (int i = 0; i < line.length; i += 100) {
            decoder.feed(Arrays.copyOfRange(line, i, Math.min(line.length, i + 100)), Math.min(100, line.length - i));
        }
        return decoder;
    }

    @Test
    void aWholeLineIsReadWhole() {
        TreeMap<Long, Integer> truth = truth();
        byte[] line = sent(truth);
        Written written = new Written();
        LineDecoder decoder = received(line, written);
        assertEquals(truth, written.changes);
        assertEquals(0, written.unknown.size() + decoder.damaged + decoder.lost);
        double bytes = (double) line.length / truth.size();
        System.out.printf("bytes a change: %.3f%n", bytes);
        assertTrue(bytes < 2.7, bytes + " bytes a change");
    }

    /** Bytes lost, altered, doubled: every change that is written is true to the picosecond, every other lies in a gap. */
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8})
    void lostBytesCostTheirBlockAndAppearAsAGap(int seed) {
        TreeMap<Long, Integer> truth = truth();
        byte[] line = sent(truth);
        SplittableRandom random = new SplittableRandom(seed);
        ByteArrayOutputStream hurt = new ByteArrayOutputStream();
        int hits = 0;
        for (int i = 0; i < line.length; i++) {
            if (i < 40 || random.nextInt(1500) != 0) {
                hurt.write(line[i]);
                continue;
            }
            hits++;
            switch (random.nextInt(4)) {
                case 0 -> i += random.nextInt(300);                      // a stretch is lost
                case 1 -> hurt.write(line[i] ^ 1 << random.nextInt(8));
                case 2 -> hurt.write(0);
                default -> hurt.write(new byte[] {line[i], line[i]}, 0, 2);
            }
        }
        Written written = new Written();
        LineDecoder decoder = received(hurt.toByteArray(), written);
        for (var change : written.changes.entrySet()) assertEquals(truth.get(change.getKey()), change.getValue());
        int missing = 0;
        for (long at : truth.keySet()) {
            if (written.changes.containsKey(at) || at > written.last) continue;
            missing++;
            assertTrue(written.isUnknown(at), "a change is missing and no gap tells");
        }
        for (var begin : written.begins.entrySet()) {
            var held = truth.floorEntry(begin.getKey());
            assertEquals(held == null ? 1 : held.getValue(), begin.getValue(), "level after a gap");
        }
        assertTrue(hits > 10 && written.unknown.size() > 5 && decoder.lost > 5, hits + " hits");
        assertTrue(missing > 100 && missing <= (hits * 2 + hits * 5) * EmulatedProbe.BLOCK_CHANGES, missing + " missing");
    }

    /** A probe that was switched off counts from 0 again: placed by the computer's clock, behind a gap. */
    @Test
    void aProbeThatBeginsAnewIsPlacedBehindAGap() {
        Written written = new Written();
        Timeline timeline = new Timeline(written, 1_000_000);
        timeline.take(5_000_000, 1, false, new long[] {10, 20, 5}, 3, 1_000_000_000L);
        timeline.reopened();
        timeline.take(70, 0, false, new long[] {30, 1}, 2, 4_000_000_000L);
        assertEquals(List.of(10_000_000L, 30_000_000L), List.copyOf(written.changes.keySet()).subList(0, 2));
        assertEquals(1, written.unknown.size());
        assertEquals(35_000_000L, written.unknown.get(0)[0]);
        assertEquals(3_000_035_000_000L, written.unknown.get(0)[1], "three seconds by the computer's clock");
        assertEquals(3_000_065_000_000L, written.changes.lastKey());
    }
}
