package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.testing.WireRecordings;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import java.util.zip.GZIPOutputStream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/** Whatever is thrown at a command: status 2 and one line, or an honest result; never a trace, never a lost file. */
class BadInputTest {
    @TempDir
    static Path folder;

    @TestFactory
    Stream<DynamicTest> whatIsNoRecordingIsRefusedInOneLine() throws IOException {
        Map<String, byte[]> files = new LinkedHashMap<>();
        byte[] noise = new byte[1 << 16];
        new SplittableRandom(3).nextBytes(noise);
        files.put("empty.vcd", new byte[0]);
        files.put("one-byte.vcd", new byte[] {'x'});
        files.put("noise.bin", noise);
        files.put("zeros.bin", new byte[100_000]);
        files.put("prose.txt", bytes("The needle swings and the lamp flickers.\nSince Tuesday.\n"));
        files.put("wide.txt", bytes("a".repeat(5_000_000)));
        files.put("utf16.txt", "time,level\n0,1\n1,0\n".getBytes(StandardCharsets.UTF_16));
        files.put("page.html", bytes("<!doctype html><title>no</title>"));
        files.put("noise.gz", gzip(noise));
        files.put("nothing.gz", gzip(new byte[0]));
        files.put("head-only.gz", Arrays.copyOf(gzip(noise), 10));
        files.put("two.zip", zip("a.csv", "b.csv"));
        files.put("none.zip", zip());
        files.put("header.vcd", bytes("$timescale 1 us $end\n$var wire 1 ! bus $end\n"));
        files.put("still.vcd", bytes("$timescale 1 us $end\n$var wire 1 ! bus $end\n$enddefinitions $end\n#0\n1!\n#9\n"));
        files.put("back.csv", bytes("time_s,level\n0,1\n2,0\n1,1\n"));
        files.put("words.csv", bytes("time_s,level\n0,one\n1,zero\n"));
        files.put("still.csv", bytes("time_s,level\n0,1\n1,1\n"));
        files.put("log-header.bwl", bytes("buswitness-log 1\n"));
        files.put("log-tick.bwl", bytes("buswitness-log 1\ntick: 0 s\nline: bus\nunit: us\nchanges:\n0 1\n5 0\n"));
        files.put("log-newer.bwl", bytes("buswitness-log 99\ntick: 1 us\n"));
        return files.entrySet().stream().map(e -> DynamicTest.dynamicTest(e.getKey(), () -> {
            Path file = Files.write(folder.resolve(e.getKey()), e.getValue());
            for (String command : new String[] {"prove", "decode"}) {
                CommandRun run = CommandRun.of(command, file.toString());
                assertTrue(run.failedInOneLine(), run.toString());
                assertTrue(run.err().contains(e.getKey()), "the line names the file: " + run.err());
                assertTrue(run.err().contains("; "), "the line says what to do: " + run.err());
            }
        }));
    }

    @Test
    void foldersAndMissingFilesAreNamed() throws IOException {
        Path inner = Files.createDirectories(folder.resolve("a folder"));
        assertTrue(CommandRun.of("prove", inner.toString()).failedInOneLine());
        assertTrue(CommandRun.of("prove", folder.resolve("no such").toString()).failedInOneLine());
        Path good = WireRecordings.oneSender(folder.resolve("good.bwl"), 2);
        for (String option : new String[] {"--layout", "--columns"}) {
            assertTrue(CommandRun.of("prove", good.toString(), option, inner.toString()).failedInOneLine(), option);
            assertTrue(CommandRun.of("prove", good.toString(), option, "nowhere.yaml").failedInOneLine(), option);
        }
    }

    @TestFactory
    Stream<DynamicTest> aWrongLayoutIsRefusedWithItsPlace() throws IOException {
        Path good = WireRecordings.oneSender(folder.resolve("for-layouts.bwl"), 2);
        Map<String, String> layouts = new LinkedHashMap<>();
        layouts.put("tab", "bus:\n\tname: x\n");
        layouts.put("unclosed", "bus: {name: x\n");
        layouts.put("unknown word", "bsu: {name: x}\n");
        layouts.put("list", "- 1\n- 2\n");
        layouts.put("number", "messages: 7\n");
        layouts.put("twice", "bus: {name: x}\nbus: {name: y}\n");
        layouts.put("control", "bus: {name: \u0001}\n");
        layouts.put("alias bomb", "a: &a [x,x]\nb: &b [*a,*a]\nc: [*b,*b]\n");
        layouts.put("deep", "[".repeat(20_000));
        layouts.put("coding", "bus: {coding: semaphore}\n");
        return layouts.entrySet().stream().map(e -> DynamicTest.dynamicTest(e.getKey(), () -> {
            Path layout = Files.writeString(folder.resolve("bad.yaml"), e.getValue());
            CommandRun run = CommandRun.of("prove", good.toString(), "--layout", layout.toString());
            assertTrue(run.failedInOneLine(), run.toString());
            assertTrue(run.err().contains("bad.yaml"), run.err());
        }));
    }

    @Test
    void aShortRecordingIsAnHonestAnswerNotAVerdict() throws IOException {
        Path file = folder.resolve("short.bwl");
        for (double seconds : new double[] {0.03, 0.08, 0.15, 0.3}) {
            CommandRun run = CommandRun.of("prove", WireRecordings.oneSender(file, seconds).toString());
            assertEquals(3, run.status(), seconds + " s: " + run);
        }
    }

    /** Bytes lost or turned anywhere: an answer or one line, never a fault of the program. */
    @Test
    void damageNeverBecomesATrace() throws IOException {
        byte[] good = Files.readAllBytes(WireRecordings.twoSenders(folder.resolve("to-damage.bwl"), 1));
        byte[] packed = gzip(good);
        Path damaged = folder.resolve("damaged.bwl");
        for (int seed = 0; seed < 120; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            byte[] bytes = (seed % 3 == 0 ? packed : good).clone();
            if (seed % 2 == 0) bytes = Arrays.copyOf(bytes, random.nextInt(bytes.length));
            for (int i = random.nextInt(4); i > 0 && bytes.length > 0; i--) {
                bytes[random.nextInt(bytes.length)] = (byte) random.nextInt(256);
            }
            Files.write(damaged, bytes);
            CommandRun run = CommandRun.of("decode", damaged.toString());
            assertTrue(run.status() == 0 || run.failedInOneLine(), "seed " + seed + ": " + run);
            assertFalse(run.err().contains("fault of the program"), "seed " + seed + ": " + run.err());
        }
    }

    @Test
    void nothingIsWrittenWhenTheInputIsBad() throws IOException {
        Path input = Files.write(folder.resolve("prose.vcd"), bytes("prose"));
        Path json = Files.writeString(folder.resolve("kept.json"), "kept");
        CommandRun run = CommandRun.of("prove", input.toString(), "--json", json.toString());
        assertTrue(run.failedInOneLine(), run.toString());
        assertEquals("kept", Files.readString(json));
    }

    private static byte[] bytes(String text) {
        return text.getBytes(StandardCharsets.UTF_8);
    }

    private static byte[] gzip(byte[] content) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (GZIPOutputStream gzip = new GZIPOutputStream(out)) {
            gzip.write(content);
        }
        return out.toByteArray();
    }

    private static byte[] zip(String... names) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(out)) {
            for (String name : names) {
                zip.putNextEntry(new ZipEntry(name));
                zip.write(bytes("time_s,level\n0,1\n1,0\n"));
            }
        }
        return out.toByteArray();
    }
}
