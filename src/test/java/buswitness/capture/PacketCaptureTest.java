package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import buswitness.problem.Progress;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Packet captures byte by byte. Shapes: pcap after draft-ietf-opsawg-pcap (magic A1B2C3D4 for microseconds, A1B23C4D for
 * nanoseconds, header of 24 bytes, record head of 16, no padding); pcapng after draft-ietf-opsawg-pcapng (byte-order magic
 * 1A2B3C4D; blocks 1, 3, 6 and option 9 from memory of the draft); packets after the registry's LINKTYPE_CAN_SOCKETCAN, 227
 * (identifier and flags high byte first, 20000000 error, 40000000 remote, 80000000 extended; length; FD flags).
 */
class PacketCaptureTest {
    private static final HexFormat HEX = HexFormat.of();

    private static byte[] hex(String text) {
        return HEX.parseHex(text.replaceAll("\\s", ""));
    }

    private static List<String> rows(Recording recording) {
        List<String> rows = new ArrayList<>();
        recording.readRows(row -> rows.add(row.stampPicos() + " " + Integer.toHexString(row.identifier())
                + (row.extended() ? "x " : " ") + HEX.formatHex(row.data())), Progress.SILENT);
        return rows;
    }

    private static List<String> says(Recording recording) {
        return recording.notices().kept().stream().map(n -> n.says()).toList();
    }

    /** Low byte first, microseconds, two records written out by hand. */
    @Test
    void aPcapWrittenByHand() {
        byte[] file = hex("D4C3B2A1 0200 0400 00000000 00000000 FFFF0000 E3000000"
                + "01000000 3F420F00 0B000000 0B000000"
                + "000001D0 03 00 0000 671100"
                + "02000000 01000000 10000000 10000000"
                + "98DB33F1 08 00 0000 0102030405060708");
        Recording recording = Given.open(file);
        assertTrue(recording.isFrameTable());
        assertEquals("packet capture (pcap)", recording.info().form());
        assertEquals(1e6, recording.info().tickPicos());
        assertEquals(List.of("0 1d0 671100", "2000000 18db33f1x 0102030405060708"), rows(recording),
                "from 1.999999 s to 2.000001 s are 2 us");
        assertTrue(says(recording).get(0).contains("counted from packet 1"), says(recording).toString());
        assertEquals(64, recording.info().sha256().length());
    }

    /** One pcap a byte order and a magic; the packet's own identifier stays high byte first. */
    private static byte[] pcap(ByteOrder order, boolean nanos, int linkType, byte[][] packets, long[] fractions) {
        ByteBuffer b = ByteBuffer.allocate(24 + packets.length * 400).order(order);
        b.putInt(nanos ? 0xA1B23C4D : 0xA1B2C3D4).putShort((short) 2).putShort((short) 4).putInt(0).putInt(0);
        b.putInt(65535).putInt(linkType);
        for (int i = 0; i < packets.length; i++) {
            b.putInt(1_700_000_000 + (int) (fractions[i] / 1_000_000_000L));
            b.putInt((int) (fractions[i] % 1_000_000_000L / (nanos ? 1 : 1000)));
            b.putInt(packets[i].length).putInt(packets[i].length).put(packets[i]);
        }
        return java.util.Arrays.copyOf(b.array(), b.position());
    }

    private static byte[] can(String identifier, String data) {
        return hex(identifier + String.format("%02X", data.length() / 2) + "000000" + data);
    }

    @ParameterizedTest
    @CsvSource({"BIG_ENDIAN,true", "BIG_ENDIAN,false", "LITTLE_ENDIAN,true", "LITTLE_ENDIAN,false"})
    void bothByteOrdersAndUnits(String order, boolean nanos) {
        byte[] file = pcap("BIG_ENDIAN".equals(order) ? ByteOrder.BIG_ENDIAN : ByteOrder.LITTLE_ENDIAN, nanos, 227,
                new byte[][] {can("00000123", "AA"), can("00000124", "")}, new long[] {5_000, 3_000_123_456L});
        Recording recording = Given.open(file);
        // 3,000,123,456 ns - 5,000 ns; microseconds cut the 456 ns off
        long nanosApart = 3_000_123_456L - 5_000 - (nanos ? 0 : 456);
        assertEquals(List.of("0 123 aa", nanosApart * 1000 + " 124 "), rows(recording));
        assertEquals(nanos ? 1e3 : 1e6, recording.info().tickPicos());
        for (int most : new int[] {1, 3, 17}) {
            assertEquals(2, rows(Recordings.open(Given.trickle(file, most), ReadOptions.NONE)).size());
        }
        assertEquals(2, rows(Given.open(Given.gzip(file))).size());
    }

    private static byte[] block(ByteOrder order, int type, byte[] body) {
        int length = 12 + (body.length + 3) / 4 * 4;
        ByteBuffer b = ByteBuffer.allocate(length).order(order);
        b.putInt(type).putInt(length).put(body).position(length - 4);
        return b.putInt(length).array();
    }

    private static byte[] body(ByteOrder order, Object... parts) {
        ByteBuffer b = ByteBuffer.allocate(1000).order(order);
        for (Object part : parts) {
            if (part instanceof Integer i) b.putInt(i);
            else if (part instanceof Short s) b.putShort(s);
            else b.put((byte[]) part);
        }
        return java.util.Arrays.copyOf(b.array(), b.position());
    }

    private static byte[] join(byte[]... parts) {
        java.io.ByteArrayOutputStream out = new java.io.ByteArrayOutputStream();
        for (byte[] part : parts) out.writeBytes(part);
        return out.toByteArray();
    }

    private static byte[] section(ByteOrder order) {
        return block(order, 0x0A0D0D0A, body(order, 0x1A2B3C4D, (short) 1, (short) 0, -1, -1));
    }

    private static byte[] interfaceOf(ByteOrder order, int type, int resolution) {
        byte[] option = resolution < 0 ? new byte[0]
                : body(order, (short) 9, (short) 1, new byte[] {(byte) resolution, 0, 0, 0}, 0);
        return block(order, 1, body(order, (short) type, (short) 0, 0, option));
    }

    private static byte[] packet(ByteOrder order, int interfaceAt, long units, byte[] packet) {
        return block(order, 6, body(order, interfaceAt, (int) (units >>> 32), (int) units, packet.length, packet.length,
                packet));
    }

    /** Units of 10^-6 by default, 10^-9, 2^-20, and finer than a picosecond. */
    @ParameterizedTest
    @CsvSource({"-1,1700000000000000,250,250000000", "9,1700000000000000000,250,250000",
        "148,1782579200000000,1048576,1000000000000", "3,1700000000000,7,7000000000"})
    void pcapngInEveryUnitOfTime(int resolution, long units, long later, long picos) {
        for (ByteOrder o : new ByteOrder[] {ByteOrder.BIG_ENDIAN, ByteOrder.LITTLE_ENDIAN}) {
            byte[] file = join(section(o), block(o, 0x0BAD, new byte[8]), interfaceOf(o, 227, resolution),
                    packet(o, 0, units, can("00000123", "0102")), packet(o, 0, units + later, can("00000124", "03")));
            Recording recording = Given.open(file);
            assertEquals("packet capture (pcapng)", recording.info().form());
            assertEquals(List.of("0 123 0102", picos + " 124 03"), rows(recording));
        }
    }

    @Test
    void errorFramesAreCountedNotRead() {
        // Class 088: protocol violation and bus error; class 020: no acknowledgement.
        byte[] file = pcap(ByteOrder.LITTLE_ENDIAN, false, 227, new byte[][] {can("20000088", "0000900A00000000"),
            can("00000123", "AA"), can("20000020", "0000000000000000"), can("400007FF", "")}, new long[] {0, 1000, 2000, 3000});
        Recording recording = Given.open(file);
        assertEquals(List.of("1000000 123 aa", "3000000 7ff "), rows(recording));
        String all = String.join(" ", says(recording));
        assertTrue(all.contains("2 error packets tell of disturbed frames (protocol violation 1, no acknowledgement 1, "
                + "bus error 1)"), all);
        assertTrue(all.contains("1 remote frame is listed"), all);
    }

    @Test
    void framesOfUpTo64Bytes() {
        byte[] data = new byte[64];
        byte[] file = pcap(ByteOrder.BIG_ENDIAN, true, 227,
                new byte[][] {join(hex("00000123 40 04 0000"), data), can("00000124", "01")}, new long[] {0, 9});
        List<byte[]> got = new ArrayList<>();
        Given.open(file).readRows(row -> got.add(row.data()), Progress.SILENT);
        assertArrayEquals(data, got.get(0));
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 113, 105})
    void anotherLinkTypeIsRefusedByNumber(int type) {
        InputFault pcap = fault(pcap(ByteOrder.BIG_ENDIAN, true, type, new byte[][] {can("00000123", "AA")}, new long[] {0}));
        assertTrue(pcap.what().contains("link type " + type + ", not CAN (227) or LIN frames (212)"), pcap.getMessage());
        ByteOrder o = ByteOrder.LITTLE_ENDIAN;
        InputFault ng = fault(join(section(o), interfaceOf(o, type, 6), packet(o, 0, 5, can("00000123", "AA"))));
        assertTrue(ng.what().contains("link type " + type), ng.getMessage());
    }

    @Test
    void twoBusesAreNotMixed() {
        ByteOrder o = ByteOrder.BIG_ENDIAN;
        byte[] head = join(section(o), interfaceOf(o, 227, 6), interfaceOf(o, 227, 6), interfaceOf(o, 1, 6));
        byte[] first = packet(o, 0, 5, can("00000123", "AA"));
        assertTrue(fault(join(head, first, packet(o, 1, 6, can("00000123", "AA")))).what().contains("several interfaces"));
        Recording other = Given.open(join(head, first, packet(o, 2, 6, new byte[60])));
        assertEquals(List.of("0 123 aa"), rows(other));
        assertTrue(says(other).toString().contains("1 packet of other link types, such as 1"), says(other).toString());
    }

    @Test
    void aCaptureCutShortIsReadUpToTheCut() {
        byte[] file = pcap(ByteOrder.BIG_ENDIAN, true, 227,
                new byte[][] {can("00000123", "AA"), can("00000124", "BB")}, new long[] {0, 1000});
        Recording cut = Given.open(java.util.Arrays.copyOf(file, file.length - 1));
        assertEquals(List.of("0 123 aa"), rows(cut));
        assertTrue(says(cut).toString().contains("cut short here"), says(cut).toString());
        assertTrue(fault(java.util.Arrays.copyOf(file, 24)).what().contains("no CAN or LIN frame"));
        assertTrue(fault(java.util.Arrays.copyOf(file, 20)).what().contains("ends before"));
    }

    @Test
    void changedBytesNeverEndInATrace() {
        ByteOrder o = ByteOrder.LITTLE_ENDIAN;
        byte[] frame = can("00000123", "AABBCC");
        byte[][] goods = {pcap(o, false, 227, new byte[][] {frame, frame, frame}, new long[] {0, 1000, 2000}),
            join(section(o), interfaceOf(o, 227, 9), packet(o, 0, 5, frame), packet(o, 0, 9, frame))};
        SplittableRandom random = new SplittableRandom(77);
        int refused = 0;
        for (int n = 0; n < 3000; n++) {
            byte[] bad = goods[n % 2].clone();
            for (int k = random.nextInt(3); k >= 0; k--) bad[random.nextInt(bad.length)] = (byte) random.nextInt(256);
            try {
                Recording recording = Given.open(bad);
                if (!recording.isFrameTable()) continue;
                long[] last = {0};
                recording.readRows(row -> {
                    assertTrue(row.stampPicos() >= last[0] && row.data().length <= 64);
                    last[0] = row.stampPicos();
                }, Progress.SILENT);
            } catch (InputFault e) {
                assertFalse(e.getMessage().contains("\n"));
                refused++;
            }
        }
        assertTrue(refused > 300 && refused < 2900, refused + " refused");
    }

    private static InputFault fault(byte[] file) {
        try {
            rows(Given.open(file));
            throw new AssertionError("no fault");
        } catch (InputFault e) {
            return e;
        }
    }
}
