package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.senders.Senders;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import java.util.zip.ZipInputStream;
import org.junit.jupiter.api.Test;

/**
 * Real traffic of one car, and the same with a second sender put in on two messages: D. Stabili, L. Ferretti,
 * M. Andreolini, M. Marchetti, IEEE Transactions on Vehicular Technology 2022, doi 10.1109/TVT.2022.3190721 (MIT
 * licence). A development set: it was at hand while the method grew. Left out, and said so, where the files are not.
 */
class RealTrafficTest {
    private static final Path FOLDER = Path.of(Optional.ofNullable(System.getProperty("buswitness.v40"))
            .or(() -> Optional.ofNullable(System.getenv("BUSWITNESS_V40"))).orElse("../shared/data/v40"));

    private record Rows(FrameLog log, BusInfo bus, List<Boolean> foreign) {}

    @Test
    void accusesExactlyTheTwoMessagesThatHaveASecondSender() throws IOException {
        Rows rows = read("second-sender-145-and-8.zip");
        ClashFindings found = judge(rows);
        assertEquals(ClashFindings.Answer.YES, found.clash());
        assertEquals(new TreeSet<>(List.of(MessageKey.can(0x008, false), MessageKey.can(0x145, false))),
                accused(found));
        for (int id : new int[] {0x008, 0x145}) {
            double accuracy = balancedAccuracy(rows, found, MessageKey.can(id, false));
            System.out.printf(java.util.Locale.ROOT, "0x%03X: balanced accuracy %.4f%n", id, accuracy);
            assertTrue(accuracy > 0.95, "balanced accuracy " + accuracy);
        }
    }

    @Test
    void findsNothingInTheCleanTraffic() throws IOException {
        ClashFindings found = judge(read("clean.zip"));
        assertEquals(new TreeSet<Long>(), accused(found));
        assertEquals(ClashFindings.Answer.NO, found.clash());
    }

    private static ClashFindings judge(Rows rows) {
        return Clashes.judge(rows.log, rows.bus, List.of(), Senders.find(rows.log, rows.bus, List.of(), null), null);
    }

    private static TreeSet<Long> accused(ClashFindings found) {
        TreeSet<Long> keys = new TreeSet<>();
        for (MessageFinding m : found.messages()) if (m.verdict() == Verdict.TWO_SENDERS) keys.add(m.key());
        return keys;
    }

    /** Mean of the shares of native and of foreign rows given to the right sender; undetermined counts as wrong. */
    private static double balancedAccuracy(Rows rows, ClashFindings found, long key) {
        int[] count = new int[found.senders().size()];
        for (int i = 0; i < rows.log.size(); i++) {
            if (rows.log.key(i) == key && found.senderOf(i) >= 0) count[found.senderOf(i)]++;
        }
        int home = 0;
        for (int s = 0; s < count.length; s++) if (count[s] > count[home]) home = s;
        int[] right = new int[2];
        int[] all = new int[2];
        for (int i = 0; i < rows.log.size(); i++) {
            if (rows.log.key(i) != key) continue;
            int foreign = rows.foreign.get(i) ? 1 : 0;
            all[foreign]++;
            if (found.senderOf(i) >= 0 && (found.senderOf(i) != home) == (foreign == 1)) right[foreign]++;
        }
        return 0.5 * right[0] / all[0] + 0.5 * right[1] / all[1];
    }

    private static Rows read(String name) throws IOException {
        Path file = FOLDER.resolve(name);
        assumeTrue(Files.exists(file), "left out: no " + file.toAbsolutePath().normalize());
        FrameLog log = new FrameLog();
        List<Boolean> foreign = new ArrayList<>();
        LogRow row = new LogRow();
        long last = 0;
        try (ZipInputStream zip = new ZipInputStream(Files.newInputStream(file))) {
            zip.getNextEntry();
            BufferedReader lines = new BufferedReader(new InputStreamReader(zip, StandardCharsets.US_ASCII));
            lines.readLine();
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                String[] cells = line.split(",");
                row.clear();
                last = Math.max(last, Math.round(Double.parseDouble(cells[0]) * 1e12));
                row.startPicos = row.endPicos = last;
                row.key = MessageKey.can(Integer.parseInt(cells[1], 16), false);
                row.acknowledged = true;
                row.lengthCode = row.dataLength = cells[3].length() / 2;
                for (int i = 0; i < row.dataLength; i++) {
                    row.data[i] = (byte) Integer.parseInt(cells[3].substring(2 * i, 2 * i + 2), 16);
                }
                log.add(row);
                foreign.add(Boolean.parseBoolean(cells[5]));
            }
        }
        BusInfo bus = new BusInfo("can", Double.NaN, 0, false, 1, Double.NaN, 0, 0, false, last);
        return new Rows(log, bus, foreign);
    }
}
