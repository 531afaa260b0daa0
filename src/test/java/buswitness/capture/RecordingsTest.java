package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import buswitness.problem.Progress;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Opening files, and input that wishes us ill. */
class RecordingsTest {
    private static final String LOG = "buswitness-log 1\ntick: 1 us\nchanges:\n0 1\n10 0\n20 1\n30 end\n";

    @TempDir
    Path folder;

    @Test
    void opensByContentNotByName() throws IOException {
        Path file = Files.write(folder.resolve("table.csv"), Given.gzip(Given.utf8(LOG)));
        Recording recording = Recordings.open(file, ReadOptions.NONE);
        assertEquals("bit-timed log", recording.info().form());
        assertEquals(file.toString(), recording.info().source());
        assertEquals("", recording.info().sha256());
        long[] last = {0, 0};
        recording.read(new Heard(true), (stage, done, total) -> {
            last[0] = done;
            last[1] = total;
        });
        assertEquals(Files.size(file), last[0], "progress counts the stored bytes");
        assertEquals(Files.size(file), last[1]);
        assertEquals(64, recording.info().sha256().length());
    }

    @Test
    void gzipMembersInARowAreOneRecording() {
        byte[] first = Given.gzip(Given.utf8(LOG.substring(0, 41)));
        byte[] second = Given.gzip(Given.utf8(LOG.substring(41)));
        ByteArrayOutputStream both = new ByteArrayOutputStream();
        both.writeBytes(first);
        both.writeBytes(second);
        for (int most : new int[] {1, 4096}) {
            Recording recording = Recordings.open(Given.trickle(both.toByteArray(), most), ReadOptions.NONE);
            assertEquals(Given.read(LOG).lines(1), Given.read(recording).lines(1));
        }
    }

    @Test
    void missingFilesFoldersAndBrokenPackagesAreSaidInOneLine() throws IOException {
        Path missing = folder.resolve("missing.log");
        InputFault fault = assertThrows(InputFault.class, () -> Recordings.open(missing, ReadOptions.NONE));
        assertEquals(missing + ": there is no such file; check its name and folder", fault.getMessage());
        assertTrue(assertThrows(InputFault.class, () -> Recordings.open(folder, ReadOptions.NONE)).what()
                .contains("folder"));
        assertTrue(Given.fault(new byte[] {0x1F, (byte) 0x8B, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7}).what().contains("packed"));
        assertTrue(Given.fault(new byte[] {0x1F, (byte) 0x8B}).what().contains("packed"));
        assertTrue(Given.fault(new byte[] {'P', 'K', 3, 4}).what().contains("zip"));
    }

    @Test
    void oneEndlessLineIsNoRecording() {
        byte[] endless = new byte[ByteWindow.LARGEST + 100];
        java.util.Arrays.fill(endless, (byte) '7');
        assertTrue(Given.fault(endless).what().contains("4 million bytes"));
        byte[] head = Given.utf8(LOG);
        System.arraycopy(head, 0, endless, 0, head.length - 7);
        assertTrue(Given.fault(endless).what().contains("4 million bytes"));
    }

    @Test
    void aRecordingWithoutEndReadsBackAsCutShort() throws IOException {
        for (WriteAndReadTest.Written form : WriteAndReadTest.Written.values()) {
            if (form == WriteAndReadTest.Written.VCD || form == WriteAndReadTest.Written.CSV) continue;
            ByteArrayOutputStream out = new ByteArrayOutputStream();
            Recording source = Given.open(LOG);
            try (RecordingWriter to = form.writer(out, source.info())) {
                to.begin(0, 0, 1);
                EdgeBlock block = new EdgeBlock();
                block.atPicos[0] = 5_000_000;
                block.count = 1;
                to.edges(block);
            }
            Recording read = Given.open(out.toByteArray());
            assertEquals(List.of("0: begin 0 1", "0: 5000000 0", "end 5000000"), Given.read(read).lines(1));
            assertEquals(1, read.notices().seen(), form.toString());
        }
    }

    /** Whatever is changed in a file, reading ends with a result that keeps the sink's promises, or with one line. */
    @ParameterizedTest
    @EnumSource(WriteAndReadTest.Written.class)
    void changedBytesNeverEndInATrace(WriteAndReadTest.Written form) {
        byte[] good = form.bytes(new Invented(Invented.info(1e6, "bus", "key"), true, false, 91, 600));
        SplittableRandom random = new SplittableRandom(92);
        int refused = 0;
        for (int n = 0; n < 800; n++) {
            byte[] bad = good.clone();
            for (int k = random.nextInt(4); k >= 0; k--) {
                bad[random.nextInt(random.nextBoolean() ? bad.length : 200)] = randomByte(random);
            }
            try {
                Recordings.open(Given.source(bad), new ReadOptions(n % 2 == 0 ? "s" : null, null))
                        .read(new Heard(false), Progress.SILENT);
            } catch (InputFault fault) {
                assertTrue(!fault.getMessage().contains("\n") && !fault.toDo().isEmpty(), fault.getMessage());
                refused++;
            } catch (RuntimeException | AssertionError e) {
                throw new AssertionError(form + ", change " + n + " of seed 92", e);
            }
        }
        assertTrue(refused > 20 && refused < 800, form + " refused " + refused);
    }

    private static byte randomByte(SplittableRandom random) {
        return (byte) (random.nextInt(3) == 0 ? random.nextInt(256) : "0123456789 \n\r,.#$!x\"-+e\t".charAt(
                random.nextInt(24)));
    }

    @Test
    void changedTablesNeverEndInATrace() throws IOException {
        Path columns = Files.writeString(folder.resolve("columns.yaml"),
                "time: {column: time, unit: s}\nid: {column: 2}\ndata: {columns: 3..}\n");
        StringBuilder table = new StringBuilder("time,id,b0,b1\n");
        for (int i = 0; i < 300; i++) table.append(i / 100.0).append(",1D0,").append(i % 9).append(",FF\n");
        SplittableRandom random = new SplittableRandom(93);
        int skipped = 0;
        for (int n = 0; n < 600; n++) {
            byte[] bad = Given.utf8(table.toString());
            bad[random.nextInt(bad.length)] = randomByte(random);
            long[] last = {0};
            try {
                skipped += (int) Recordings.open(Given.source(bad), new ReadOptions(null, columns)).readRows(row -> {
                    assertTrue(row.stampPicos() >= last[0] && row.data().length <= 64);
                    last[0] = row.stampPicos();
                }, Progress.SILENT).skipped();
            } catch (InputFault fault) {
                assertTrue(!fault.getMessage().contains("\n"), fault.getMessage());
            }
        }
        assertTrue(skipped > 60, skipped + " rows skipped");
    }
}
