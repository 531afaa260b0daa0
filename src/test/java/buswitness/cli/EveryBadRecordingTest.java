package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import java.util.zip.GZIPOutputStream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/** Bad recordings of every kind and form: status 2 and one line that says what, where and what to do. */
class EveryBadRecordingTest {
    private static final String VCD = "$timescale 1 us $end\n$var wire 1 ! bus $end\n$enddefinitions $end\n";
    private static final String LOG = "buswitness-log 1\ntick: 1 us\nline: bus\nchanges:\n";

    @TempDir
    static Path folder;

    /** @param what the line says, in part @param where the place it names, in part @param more words of the command line */
    private record Bad(String name, byte[] content, String what, String where, String... more) {}

    private static byte[] text(String text) {
        return text.getBytes(StandardCharsets.UTF_8);
    }

    private static byte[] gzip(byte[] content, int bytesLost) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (GZIPOutputStream gzip = new GZIPOutputStream(out)) {
            gzip.write(content);
        }
        return Arrays.copyOf(out.toByteArray(), out.size() - bytesLost);
    }

    private static byte[] pcap(int linkType) {
        ByteBuffer b = ByteBuffer.allocate(24 + 16 + 20);
        b.putInt(0xA1B2C3D4).putShort((short) 2).putShort((short) 4).putLong(0).putInt(65535).putInt(linkType);
        return b.putInt(1).putInt(0).putInt(20).putInt(20).array();
    }

    /** 16-bit mono WAV of a square wave, or of one level where {@code half} is 0. */
    private static byte[] wav(int rate, int half) {
        int samples = 4 * rate / 10;
        ByteBuffer b = ByteBuffer.allocate(44 + 2 * samples).order(ByteOrder.LITTLE_ENDIAN);
        b.put(text("RIFF")).putInt(36 + 2 * samples).put(text("WAVEfmt ")).putInt(16).putShort((short) 1).putShort((short) 1);
        b.putInt(rate).putInt(2 * rate).putShort((short) 2).putShort((short) 16).put(text("data")).putInt(2 * samples);
        for (int i = 0; i < samples; i++) b.putShort((short) (half == 0 || i / half % 2 == 0 ? 9000 : -9000));
        return b.array();
    }

    private static byte[] unpacked(String file) throws IOException {
        try (java.util.zip.GZIPInputStream in = new java.util.zip.GZIPInputStream(Files.newInputStream(Path.of(file)))) {
            return in.readAllBytes();
        }
    }

    private static byte[] zeroed(byte[] content, int at) {
        byte[] changed = content.clone();
        changed[at] = changed[at + 1] = 0;
        if (at == 24) changed[at + 2] = changed[at + 3] = 0;
        return changed;
    }

    /** A trace of a square wave in volts, one value of which is something else. */
    private static byte[] volts(int rows, int badRow, String value) {
        StringBuilder out = new StringBuilder("time_us,CH1 (V)\n");
        for (int i = 0; i < rows; i++) out.append(i).append(',').append(i == badRow ? value : i / 8 % 2 * 2 + ".0").append('\n');
        return text(out.toString());
    }

    private static List<Bad> all() throws IOException {
        byte[] demo = Files.readAllBytes(Path.of("captures/head-on.bwl.gz"));
        return List.of(
                new Bad("prose.txt", text("The needle swings.\nSince Tuesday.\n"), "not a recording of a known form", "prose.txt"),
                new Bad("picture.bin", new byte[] {(byte) 0x89, 'P', 'N', 'G', 0, 0, 0, 13}, "binary data of an unknown kind",
                        "picture.bin"),
                new Bad("empty.vcd", new byte[0], "is empty", "empty.vcd"),
                new Bad("empty.gz", gzip(new byte[0], 0), "is empty", "empty.gz"),
                new Bad("empty-log.bwl", text(LOG), "no change follows the header", "empty-log.bwl"),
                new Bad("one-level.vcd", text(VCD + "#0\n1!\n#9000\n"), "no line ever changes", "one-level.vcd"),
                new Bad("one-level.csv", text("time_s,level\n0,1\n1,1\n2,1\n"), "no line ever changes", "one-level.csv"),
                new Bad("one-level.bwl", text(LOG + "0 1\n500 1\n"), "no line ever changes", "one-level.bwl"),
                new Bad("one-level.wav", wav(48_000, 0), "no line ever changes", "one-level.wav"),
                new Bad("back.vcd", text(VCD + "#0\n1!\n#20\n0!\n#10\n1!\n"), "time goes backwards", "line 8"),
                new Bad("back.csv", text("time_s,level\n0,1\n2,0\n1,1\n"), "time goes backwards", "line 4"),
                new Bad("back.bwl", text(LOG + "0 1\n50 0\n20 1\n"), "time goes backwards", "line 7"),
                new Bad("tick-0.bwl", text(LOG.replace("1 us", "0 us") + "0 1\n5 0\n"), "tick", "line 2"),
                new Bad("tick-2s.bwl", text(LOG.replace("1 us", "2 s") + "0 1\n5 0\n"), "tick", "line 2"),
                new Bad("tick-word.bwl", text(LOG.replace("1 us", "often") + "0 1\n5 0\n"), "tick", "line 2"),
                new Bad("tick-3us.vcd", text(VCD.replace("1 us", "3 us") + "#0\n1!\n#9\n0!\n"), "timescale", "tick-3us.vcd"),
                new Bad("cut-head.gz", Arrays.copyOf(demo, 9), "packed", "cut-head.gz"),
                new Bad("cut-soon.gz", gzip(text(VCD), 12), "cut short inside its packed bytes", "cut-soon.gz"),
                new Bad("ether.pcap", pcap(1), "link type 1, not CAN (227) or LIN", "ether.pcap"),
                new Bad("slow.wav", wav(48_000, 2), "too seldom for 33300 bit/s; record with 133200 samples a second", "slow.wav",
                        "--rate", "33.3k"),
                new Bad("cut-soon.bwr", Arrays.copyOf(unpacked("captures/late-second.bwr.gz"), 200), "cut short before any line",
                        "cut-soon.bwr"),
                new Bad("no-samples.wav", Arrays.copyOf(wav(48_000, 2), 44), "without a single sample", "no-samples.wav"),
                new Bad("no-rate.wav", zeroed(wav(48_000, 2), 24), "says 0 samples a second", "no-rate.wav"),
                new Bad("no-channel.wav", zeroed(wav(48_000, 2), 22), "0 channels, not 1 to 16", "no-channel.wav"),
                new Bad("damaged.zip", text("PK\u0003\u0004nothing of a zip follows here, as it seems"), "is packed but", "damaged.zip"),
                new Bad("wide.csv", "time_s,bus\n0,1\n1,0\n".getBytes(StandardCharsets.UTF_16), "is text in UTF-16", "wide.csv"),
                new Bad("nan-late.csv", volts(3000, 2500, "NaN"), "not a number", "line 2502"),
                new Bad("nan-soon.csv", volts(3000, 25, "NaN"), "not a number", "line 27"),
                new Bad("huge.csv", volts(3000, 700, "1e999"), "not a number", "line 702"),
                new Bad("two-heads.csv", text("time_s,bus\nseconds,level\n0,1\n1,0\n"), "no row of a time and a level", "line 2"),
                new Bad("far.vcd", text(VCD + "#0\n1!\n#99999999999999999999\n0!\n"), "is not a time", "line 6"),
                new Bad("two-lines.csv", text("time_s,a,b\n0,1,1\n1,0,0\n2,1,1\n"), "2 lines move: a (2 changes), b (2 changes)", "two-lines.csv"),
                new Bad("other-line.vcd", text(VCD + "#0\n1!\n#9\n0!\n"), "no line", "other-line.vcd", "--line", "horn"));
    }

    @TestFactory
    Stream<DynamicTest> eachIsRefusedInOneLine() throws IOException {
        return all().stream().map(bad -> DynamicTest.dynamicTest(bad.name(), () -> {
            Path file = Files.write(folder.resolve(bad.name()), bad.content());
            for (String command : List.of("prove", "decode", "convert")) {
                Path out = folder.resolve("never.bwr");
                String[] words = command.equals("convert") ? new String[] {command, file.toString(), out.toString()}
                        : new String[] {command, file.toString()};
                int own = words.length;
                // A conversion keeps every line and decodes nothing, so lines and rates are not its business.
                if (command.equals("convert") && (bad.more().length > 0 || bad.name().startsWith("two-lines"))) continue;
                words = Arrays.copyOf(words, own + bad.more().length);
                System.arraycopy(bad.more(), 0, words, own, bad.more().length);
                CommandRun run = CommandRun.of(words);
                assertTrue(run.failedInOneLine(), command + ": " + run);
                assertTrue(run.err().contains(bad.what()), command + " says what: " + run.err());
                assertTrue(run.err().contains(bad.where()), command + " says where: " + run.err());
                assertTrue(run.err().indexOf("; ", run.err().indexOf(bad.name())) > 0, command + " says what to do: " + run.err());
                assertEquals(2, run.status());
                assertTrue(Files.notExists(out), "nothing is written");
            }
        }));
    }
}
