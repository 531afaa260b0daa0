package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.bits.BitRunSink;
import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.bits.LineReader;
import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.schema.BusFormats;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** The framing that is driven by the format of CAN reads what the hand-written one reads, whole and damaged. */
class GenericCanTest {
    /** Feeds one framing. */
    private record Into(Framing[] framing, FrameLog log, boolean generic) implements BitRunSink {
        @Override
        public void found(LineFinding finding) {
            framing[0] = generic ? Framings.of(BusFormats.builtIn("can"), finding, log) : new CanFraming(finding, log);
        }

        @Override
        public void begin(long atPicos) {
            framing[0].begin(atPicos);
        }

        @Override
        public void runs(BitRuns block) {
            framing[0].runs(block);
        }

        @Override
        public void stop(long atPicos) {
            framing[0].stop(atPicos);
        }
    }

    private static List<String> read(WireSketch.Recorded recorded, double rate, boolean generic) {
        FrameLog log = new FrameLog();
        Into into = new Into(new Framing[1], log, generic);
        LineReader reader = new LineReader(new LineReader.Options(null, rate, Double.NaN), into);
        recorded.feed(new EdgeSink() {
            @Override
            public void begin(int line, long at, int level) {
                reader.begin(at, level);
            }

            @Override
            public void edges(EdgeBlock block) {
                reader.edges(block);
            }

            @Override
            public void gap(int line, long from, long until, String why) {
                reader.stop(from);
            }

            @Override
            public void end(long at) {
                reader.stop(at);
                reader.end();
            }
        }, EdgeBlock.CAPACITY);
        List<String> rows = new ArrayList<>();
        for (int i = 0; i < log.size(); i++) {
            rows.add(log.startPicos(i) + " " + log.endPicos(i) + " " + MessageKey.text(log.key(i)) + " "
                    + HexFormat.of().formatHex(log.data(i)) + " code " + log.lengthCode(i) + " " + log.fault(i) + "@"
                    + log.faultBit(i) + " free " + log.isFreeStart(i) + " ack " + log.isAcknowledged(i) + " glitches "
                    + log.glitches(i) + " wire " + log.wireBits(i));
        }
        return rows;
    }

    private static void assertSame(WireSketch.Recorded recorded, double rate, String what) {
        List<String> hand = read(recorded, rate, false);
        List<String> generic = read(recorded, rate, true);
        for (int i = 0; i < Math.min(hand.size(), generic.size()); i++) assertEquals(hand.get(i), generic.get(i), what + ", row " + i);
        assertEquals(hand.size(), generic.size(), what);
    }

    /** Every kind of frame, every bit of it turned over. */
    @Test
    void everyBitOfEveryKindTurnedOver() {
        int compared = 0;
        for (int kind = 0; kind < 4; kind++) {
            boolean extended = kind % 2 == 1;
            boolean remote = kind / 2 == 1;
            Random random = new Random(kind);
            byte[] data = new byte[5];
            random.nextBytes(data);
            String wire = CanFrameBits.stuffed(CanFrameBits.unstuffed(extended ? 0x12345678 : 0x2A5, extended, remote, 5, data))
                    + WireSketch.TAIL + WireSketch.INTERMISSION;
            for (int bit = -1; bit < wire.length(); bit++) {
                WireSketch line = sketch(data);
                StringBuilder turned = new StringBuilder(wire);
                if (bit >= 0) turned.setCharAt(bit, turned.charAt(bit) == '0' ? '1' : '0');
                line.send(turned.toString());
                line.frame(0x7DF, data);
                assertSame(line.idle(30).record(), 125_000, "kind " + kind + ", bit " + bit);
                compared++;
            }
        }
        assertTrue(compared > 250, compared + " compared");
    }

    private static WireSketch sketch(byte[] data) {
        WireSketch line = new WireSketch(125_000, 1).tick(100_000).idle(20);
        line.frame(0x100, data);
        return line;
    }

    /** Busy traffic with flags, noise, ringing and clock errors. */
    @Test
    void busyTraffic() {
        for (long seed = 1; seed <= 12; seed++) {
            Random random = new Random(seed);
            WireSketch wire = new WireSketch(125_000, seed).tick(50_000).jitter(30_000).ringing(0.05).sender(800, 90_000);
            wire.idle(20);
            for (int i = 0; i < 300; i++) {
                byte[] data = new byte[random.nextInt(9)];
                random.nextBytes(data);
                boolean extended = random.nextInt(4) == 0;
                int id = random.nextInt(extended ? 0x1FFFFFFF : 0x7FF);
                String body = CanFrameBits.stuffed(CanFrameBits.unstuffed(id, extended, random.nextInt(9) == 0,
                        random.nextInt(3) == 0 ? data.length : Math.min(15, data.length), data)).toString();
                switch (random.nextInt(9)) {
                    case 0 -> wire.send(body.substring(0, 1 + random.nextInt(body.length())) + "000000111" + "00000011111111111");
                    case 1 -> wire.send(body + "11" + "0000001111111111" + "1");
                    case 2 -> wire.send(body + "1011111111" + "000000011111111" + "111");
                    case 3 -> wire.idle(20 + random.nextInt(2000)).send("0".repeat(1 + random.nextInt(30)) + "1".repeat(30));
                    case 4 -> {
                        StringBuilder noise = new StringBuilder();
                        for (int k = 0; k < 60; k++) noise.append(random.nextInt(2));
                        wire.send(noise + "11111111111");
                    }
                    default -> wire.send(body + WireSketch.TAIL + WireSketch.INTERMISSION);
                }
                if (random.nextBoolean()) wire.idle(random.nextDouble() * 200);
            }
            assertSame(wire.idle(30).record(), 125_000, "seed " + seed);
        }
    }
}
