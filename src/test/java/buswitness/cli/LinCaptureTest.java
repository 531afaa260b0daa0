package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Packet captures of LIN written byte by byte after the registry's page of LINKTYPE_LIN (the type's number, 212, and the kind of
 * event from memory): format, 3 reserved, length(4) kind(2) check(2), protected identifier, check sum, errors, payload.
 * Payloads and sums: LIN Specification Package 2.2A, 2.8.3 (4A 55 93 E5, classic E6) and the same under protected identifier
 * 50, enhanced 96 (published code, computed again). Also remote frames of CAN, and --rate on tables of frames.
 */
class LinCaptureTest {
    @TempDir
    Path folder;

    /** Big-endian pcap in microseconds, one packet each millisecond. */
    private Path pcap(int type, List<String> packets) throws IOException {
        ByteBuffer b = ByteBuffer.allocate(24 + packets.size() * 40);
        b.putInt(0xA1B2C3D4).putShort((short) 2).putShort((short) 4).putLong(0).putInt(65535).putInt(type);
        for (int i = 0; i < packets.size(); i++) {
            byte[] packet = HexFormat.of().parseHex(packets.get(i).replace(" ", ""));
            b.putInt(1000 + i / 1000).putInt(i % 1000 * 1000).putInt(packet.length).putInt(packet.length).put(packet);
        }
        return Files.write(folder.resolve("lin.pcap"), java.util.Arrays.copyOf(b.array(), b.position()));
    }

    private static List<String> rows(CommandRun run) {
        assertEquals(0, run.status(), run.toString());
        return run.out().lines().skip(1).map(row -> row.split(",", 2)[1]).toList();
    }

    @Test
    void linFramesWholeAndDamaged() throws IOException {
        List<String> packets = List.of(
                "01000000 41 50 E6 00 4A5593E5",            // classic, as the specification reckons it
                "01000000 42 50 96 00 4A5593E5",            // enhanced
                "01000000 41 50 E7 00 4A5593E5",            // a wrong sum that nobody flagged
                "01000000 40 50 11 00 4A5593E5",            // kind of sum unknown: not judged
                "01000000 01 3C 00 01",                     // nobody answered
                "01000000 41 10 E6 00 4A5593E5",            // parity of 10 is 50
                "01000000 41 50 E6 02 4A5593E5",            // framing error
                "01000000 0C 00 00 00 B0B00001",            // an event: sleep
                "01000000 81 3C 00 00 00FFFFFFFFFFFFFF");   // go-to-sleep command, sum 00 (2.2A, table 2.1)
        CommandRun run = CommandRun.of("decode", pcap(212, packets).toString(), "--frames", "-");
        assertEquals(List.of("0x10,4A5593E5,true,,", "0x10,4A5593E5,true,,", "0x10,4A5593E5,false,check,",
                "0x10,4A5593E5,true,,", "0x3C,,false,no response,", "0x10,4A5593E5,false,parity,",
                "0x10,4A5593E5,false,byte without stop bit,", "0x3C,00FFFFFFFFFFFFFF,true,,"), rows(run));
        assertTrue(run.err().contains("1 packet tells of sleep or wake-up"), run.err());
        CommandRun listing = CommandRun.of("decode", pcap(212, packets).toString());
        assertTrue(listing.out().contains("4 whole frames, 3 damaged, 1 request that nobody answered"), listing.out());
    }

    @Test
    void whatIsNoLinPacketIsLeftOutAndCounted() throws IOException {
        List<String> packets = new ArrayList<>();
        for (int i = 0; i < 150; i++) packets.add("01000000 41 50 E6 00 4A5593E5");
        packets.add("02000000 41 50 E6 00 4A5593E5");
        CommandRun run = CommandRun.of("decode", pcap(212, packets).toString(), "--frames", "-");
        assertEquals(150, rows(run).size());
        assertTrue(run.err().contains("Packet 151 was left out: its format number is 2"), run.err());
        packets.add("01000000 91 50 E6 00 4A5593E5");
        packets.add("01000000 81 50");
        CommandRun many = CommandRun.of("decode", pcap(212, packets).toString(), "--frames", "-");
        assertTrue(many.failedInOneLine(), many.toString());
        CommandRun proof = CommandRun.of("prove", pcap(212, packets.subList(0, 150)).toString());
        assertNotEquals(2, proof.status(), proof.err());
    }

    @Test
    void remoteFramesAreRequests() throws IOException {
        Path file = pcap(227, List.of("000001D0 02 000000 1122", "400001D0 00 000000", "C8DB33F1 00 000000"));
        CommandRun run = CommandRun.of("decode", file.toString());
        assertEquals(0, run.status(), run.err());
        List<String> lines = run.out().lines().toList();
        assertTrue(lines.get(1).contains("0x1D0") && lines.get(1).contains("11 22"), run.out());
        assertTrue(lines.get(2).contains("0x1D0") && lines.get(2).contains("remote"), run.out());
        assertTrue(lines.get(3).contains("0x08DB33F1") && lines.get(3).contains("remote"), run.out());
    }

    @Test
    void aRateGivenCountsForTablesToo() throws IOException {
        StringBuilder table = new StringBuilder("t,id,data\n");
        for (int i = 0; i < 400; i++) table.append(i * 0.01).append(",1D0,0102030405060708\n");
        Path csv = Files.writeString(folder.resolve("t.csv"), table.toString());
        Path columns = Files.writeString(folder.resolve("c.yaml"),
                "time: {column: t, unit: s}\nid: {column: id}\ndata: {column: data}\nstamped: start\n");
        String[] words = {"prove", csv.toString(), "--columns", columns.toString(), "--no-layout", "--json", "-"};
        assertTrue(bus(words).contains("\"rate_bit_per_s\":null"), bus(words));
        String[] more = java.util.Arrays.copyOf(words, words.length + 2);
        more[words.length] = "--rate";
        more[words.length + 1] = "125k";
        assertTrue(bus(more).contains("\"rate_bit_per_s\":125000"), bus(more));
        assertTrue(bus(more).matches(".*\"load\":0\\.0?[1-9].*"), "a load can be told: " + bus(more));
    }

    private static String bus(String[] words) {
        String json = CommandRun.of(words).out().replaceAll("\\s", "");
        int from = json.indexOf("\"bus\":{");
        return json.substring(from, json.indexOf('}', from));
    }
}
