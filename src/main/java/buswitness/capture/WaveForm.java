package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.ArrayList;
import java.util.List;

/**
 * WAV: a RIFF of form WAVE (Multimedia Programming Interface and Data Specifications 1.0, 1991, from memory), samples as
 * whole numbers of 8 (without sign), 16, 24 or 32 bits or as floating point of 32 or 64, any rate, up to 16 channels.
 */
final class WaveForm implements Sampled {
    private static final int PCM = 1;
    private static final int FLOAT = 3;
    private static final int EXTENSIBLE = 0xFFFE;
    private static final int MOST_CHANNELS = 16;
    private static final long TO_THE_END = 0xFFFF_FFFFL;

    private final int coding;
    private final int channelCount;
    private final long rate;
    private final int bytesEach;
    private final long dataFrom;
    private final long dataBytes;

    private WaveForm(ByteWindow in, int at, long dataFrom, long dataBytes) {
        byte[] b = in.bytes;
        int format = u16(b, at);
        coding = format == EXTENSIBLE ? u16(b, at + 24) : format;
        channelCount = u16(b, at + 2);
        rate = u32(b, at + 4);
        int bits = u16(b, at + 14);
        bytesEach = bits / 8;
        boolean known = coding == PCM && (bits == 8 || bits == 16 || bits == 24 || bits == 32)
                || coding == FLOAT && (bits == 32 || bits == 64);
        if (!known) {
            throw fault(in.name(), "is a WAV of coding " + coding + " with " + bits + " bits, which is not read",
                    "save it as uncompressed PCM of 16 bits or more");
        }
        if (channelCount < 1 || channelCount > MOST_CHANNELS) {
            throw fault(in.name(), "is a WAV with " + channelCount + " channels, not 1 to " + MOST_CHANNELS,
                    "record one or two channels");
        }
        if (rate < 1) throw fault(in.name(), "is a WAV that says 0 samples a second", "save it again with its true rate");
        if (!in.need((int) dataFrom + bytesEach * channelCount)) {
            throw fault(in.name(), "is a WAV without a single sample", "record again, and stop before saving");
        }
        this.dataFrom = dataFrom;
        this.dataBytes = dataBytes == 0 || dataBytes >= TO_THE_END - 4096 ? Long.MAX_VALUE : dataBytes;
    }

    static boolean startsWith(byte[] b, int from, int limit) {
        return limit - from >= 12 && b[from] == 'R' && b[from + 1] == 'I' && b[from + 2] == 'F' && b[from + 3] == 'F'
                && b[from + 8] == 'W' && b[from + 9] == 'A' && b[from + 10] == 'V' && b[from + 11] == 'E';
    }

    /** Reads the chunks before the samples. */
    static WaveForm open(ByteWindow in) {
        int at = 12;
        int format = -1;
        while (in.need(at + 8)) {
            long length = u32(in.bytes, at + 4);
            String name = new String(in.bytes, at, 4, java.nio.charset.StandardCharsets.ISO_8859_1);
            if (name.equals("data")) {
                if (format < 0) break;
                return new WaveForm(in, format, at + 8L, length);
            }
            if (length > ByteWindow.LARGEST / 2 || !in.need((int) (at + 8 + length))) break;
            if (name.equals("fmt ") && length >= 16) {
                format = at + 8;
                if (u16(in.bytes, format) == EXTENSIBLE && length < 40) break;
            }
            at += 8 + (int) (length + length % 2);
        }
        throw fault(in.name(), "is a WAV that ends or breaks before its samples", "save it again");
    }

    private static InputFault fault(String name, String what, String toDo) {
        return new InputFault(Place.file(name), what, toDo);
    }

    private static int u16(byte[] b, int at) {
        return b[at] & 0xFF | (b[at + 1] & 0xFF) << 8;
    }

    private static long u32(byte[] b, int at) {
        return u16(b, at) | (long) u16(b, at + 2) << 16;
    }

    @Override
    public String form() {
        return "WAV";
    }

    @Override
    public List<String> channels() {
        if (channelCount == 1) return List.of("bus");
        if (channelCount == 2) return List.of("left", "right");
        List<String> names = new ArrayList<>();
        for (int i = 1; i <= channelCount; i++) names.add("channel " + i);
        return names;
    }

    @Override
    public double periodPicos() {
        return 1e12 / rate;
    }

    /** What one unit is in volts depends on the card, its volume and the divider. */
    @Override
    public String unit() {
        return "FS";
    }

    @Override
    public SampleReader reader(ByteWindow in, NoticeLog notices) {
        in.need((int) dataFrom);
        in.pos = (int) Math.min(in.limit, dataFrom);
        return new SampleReader() {
            private long left = dataBytes;

            @Override
            public int read(float[][] into) {
                int frame = bytesEach * channelCount;
                int n = 0;
                while (n < CHUNK && left >= frame && in.need(frame)) {
                    int frames = (int) Math.min(Math.min(CHUNK - n, (in.limit - in.pos) / frame), left / frame);
                    for (int c = 0; c < channelCount; c++) {
                        int at = in.pos + c * bytesEach;
                        for (int i = 0; i < frames; i++) into[c][n + i] = sample(in.bytes, at + i * frame);
                    }
                    n += frames;
                    in.pos += frames * frame;
                    left -= (long) frames * frame;
                }
                if (n == 0 && left >= frame && dataBytes != Long.MAX_VALUE) {
                    notices.add(new Notice(Place.bytes(in.name(), in.offsetOf(in.limit)), "The file "
                            + (in.broken() == null ? "is cut short here" : in.broken()) + "; what came before was read."));
                    left = 0;
                }
                return n;
            }
        };
    }

    private float sample(byte[] b, int at) {
        if (coding == FLOAT) {
            float value = bytesEach == 4 ? Float.intBitsToFloat((int) u32(b, at))
                    : (float) Double.longBitsToDouble(u32(b, at) | u32(b, at + 4) << 32);
            return Float.isFinite(value) ? value : 0;
        }
        return switch (bytesEach) {
            case 1 -> ((b[at] & 0xFF) - 128) / 128f;
            case 2 -> (short) u16(b, at) / 32768f;
            case 3 -> (u16(b, at) | b[at + 2] << 16) / 8388608f;
            default -> (int) u32(b, at) / 2147483648f;
        };
    }
}
