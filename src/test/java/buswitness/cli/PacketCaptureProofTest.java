package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The frames of a demo recording as a packet capture: the same frames, and a finding that tells what is missing. */
class PacketCaptureProofTest {
    @TempDir
    Path folder;

    private static byte[] pcap(List<String> rows) {
        ByteBuffer b = ByteBuffer.allocate(24 + rows.size() * 32);
        b.putInt(0xA1B2C3D4).putShort((short) 2).putShort((short) 4).putLong(0).putInt(65535).putInt(227);
        for (String row : rows) {
            String[] field = row.split(",", -1);
            byte[] data = HexFormat.of().parseHex(field[2]);
            long micros = Math.round(Double.parseDouble(field[0]) * 1e6);
            b.putInt((int) (micros / 1_000_000)).putInt((int) (micros % 1_000_000));
            b.putInt(8 + data.length).putInt(8 + data.length);
            b.putInt(Integer.decode(field[1])).put((byte) data.length).put(new byte[3]).put(data);
        }
        return java.util.Arrays.copyOf(b.array(), b.position());
    }

    @Test
    void framesComeOutAsTheyWentInAndMissingEvidenceIsSaid() throws IOException {
        CommandRun wire = CommandRun.of("decode", "captures/two-translators.bwl.gz", "--frames", "-");
        List<String> whole = wire.out().lines().skip(1).filter(row -> row.contains(",true,")).toList();
        assertTrue(whole.size() > 3000, "frames: " + whole.size());
        Path file = Files.write(folder.resolve("drive.pcap"), pcap(whole));
        CommandRun read = CommandRun.of("decode", file.toString(), "--frames", "-");
        assertEquals(0, read.status(), read.err());
        assertEquals(whole.stream().map(row -> row.split(",")[1] + row.split(",", -1)[2]).toList(),
                read.out().lines().skip(1).map(row -> row.split(",")[1] + row.split(",", -1)[2]).toList());
        CommandRun proof = CommandRun.of("prove", file.toString(), "--layout", "captures/tern.layout.yaml");
        assertNotEquals(2, proof.status(), proof.err());
        assertTrue(proof.out().contains("packet capture (pcap)"), proof.out());
        assertTrue(proof.out().replaceAll("\\s+", " ").contains("hold no wire: head-on collisions, bit lengths, pulse shapes and levels could not be "
                + "looked at"), proof.out());
        assertTrue(CommandRun.of("convert", file.toString(), folder.resolve("a.vcd").toString()).failedInOneLine());
    }
}
