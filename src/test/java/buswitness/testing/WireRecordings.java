package buswitness.testing;

import buswitness.capture.EdgeBlock;
import buswitness.capture.RecordingInfo;
import buswitness.capture.RecordingWriter;
import buswitness.capture.Recordings;
import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.SplittableRandom;

/** Small recordings of an invented bus at 125 kbit/s, written as a bit-timed log; no simulator involved. */
public final class WireRecordings {
    private static final double BIT_PICOS = 8e6;
    private static final long TICK_PICOS = 1_000_000;
    private static final int MESSAGE = 0x1D0;

    private WireRecordings() {}

    private record Release(double atSeconds, int identifier, byte[] data) {}

    /** One node sends two messages. */
    public static Path oneSender(Path file, double seconds) throws IOException {
        return write(file, seconds, releases(seconds, false));
    }

    /** The same, and a second node sends the first message too, with a clock 73 ppm slower and other values. */
    public static Path twoSenders(Path file, double seconds) throws IOException {
        return write(file, seconds, releases(seconds, true));
    }

    private static List<Release> releases(double seconds, boolean second) {
        List<Release> all = new ArrayList<>();
        int count = 0;
        for (double at = 0.011; at < seconds - 0.01; at += 0.1 * (1 + 41.9e-6)) {
            all.add(new Release(at, MESSAGE, new byte[] {100, 0, 0, 0, 0, 0, 0, 1}));
        }
        for (double at = 0.005; at < seconds - 0.01; at += 0.05 * (1 + 41.9e-6)) {
            all.add(new Release(at, 0x200, new byte[] {(byte) count++, 0, 5}));
        }
        for (double at = 0.043; second && at < seconds - 0.01; at += 0.1 * (1 - 31e-6)) {
            // A value that moves: a steady first byte could be a page that one node sends from a loop of its own.
            all.add(new Release(at, MESSAGE, new byte[] {(byte) (40 + all.size() / 100 % 3), 8, 0, 0, 0, 0, 0, 2}));
        }
        all.sort(Comparator.comparingDouble(Release::atSeconds));
        return all;
    }

    private static Path write(Path file, double seconds, List<Release> releases) throws IOException {
        RecordingInfo info = new RecordingInfo("", "", "", TICK_PICOS, List.of("bus"), List.of("invented for a test"));
        SplittableRandom delay = new SplittableRandom(5);
        EdgeBlock block = new EdgeBlock();
        try (RecordingWriter out = Recordings.writeLog(Files.newOutputStream(file), info)) {
            out.begin(0, 0, 1);
            double free = 0;
            int level = 1;
            for (Release release : releases) {
                double at = Math.max(release.atSeconds * 1e12 + delay.nextDouble() * 80e6, free);
                BitString bits = CanFrameBits.stuffed(CanFrameBits.unstuffed(release.identifier, false, false,
                        release.data.length, release.data));
                for (int k = 0; k < bits.size() + 3; k++) {
                    int bit = k < bits.size() ? bits.get(k) : k == bits.size() + 1 ? 0 : 1;
                    if (bit != level) {
                        level = bit;
                        block.atPicos[block.count] = Math.round(at / TICK_PICOS) * TICK_PICOS;
                        block.level[block.count] = (byte) bit;
                        if (++block.count == EdgeBlock.CAPACITY) {
                            out.edges(block);
                            block.count = 0;
                        }
                    }
                    at += BIT_PICOS;
                }
                free = at + 10 * BIT_PICOS;
            }
            if (block.count > 0) out.edges(block);
            out.end((long) (seconds * 1e12));
        }
        return file;
    }
}
