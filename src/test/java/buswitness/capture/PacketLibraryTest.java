package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.Progress;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Packet captures that others wrote: {@code .pcap} by libpcap 1.10.3 through its own {@code DLT_CAN_SOCKETCAN} (227), {@code
 * DLT_LIN} (212) and {@code pcap_can_socketcan_hdr}, {@code .pcapng} of the same packets by text2pcap 4.0.17, both as Debian 12
 * has them. The program that called them lies beside the files, write-captures.c. The bytes of a LIN packet are laid out by
 * hand after the registry's page LINKTYPE_LIN, which libpcap does not know beyond the number.
 */
class PacketLibraryTest {
    private static final Path FOLDER = Path.of("src/test/resources/packets");

    private static List<String> rows(Recording recording) {
        List<String> rows = new ArrayList<>();
        recording.readRows(row -> rows.add(row.stampPicos() / 1_000_000 + " us " + Integer.toHexString(row.identifier())
                + (row.extended() ? "x" : "") + " " + (row.remote() ? "remote" : HexFormat.of().formatHex(row.data()))
                + " " + row.fault()), Progress.SILENT);
        return rows;
    }

    private static Recording open(String name) throws IOException {
        return Given.open(Files.readAllBytes(FOLDER.resolve(name)));
    }

    @ParameterizedTest
    @ValueSource(strings = {"pcap", "pcapng"})
    void canFramesOfALibrary(String ending) throws IOException {
        Recording recording = open("can." + ending);
        assertEquals(List.of("0 us 1d0 671100 NONE", "20000 us 18db33f1x 0102030405060708 NONE", "40000 us 1d8 remote NONE",
                "999999 us 2a0 4142434445464748494a4b4c NONE"), rows(recording));
        assertTrue(recording.notices().kept().stream().anyMatch(n -> n.says().contains("protocol violation 1")),
                "the error frame is counted by its classes: " + recording.notices().kept());
    }

    /** LIN 2.2A: identifier 0x3A is guarded as 0xBA; 0xBA + 0x10 + 0x32 = 0xFC, inverted 0x03. */
    @ParameterizedTest
    @ValueSource(strings = {"pcap", "pcapng"})
    void linFramesOfALibrary(String ending) throws IOException {
        assertEquals(List.of("0 us 3a 1032 NONE", "10000 us 3a  NO_RESPONSE"), rows(open("lin." + ending)));
    }
}
