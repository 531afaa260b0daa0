package buswitness.capture;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;

/** Writers of voltages: WAV of 16 bits, and CSV of seconds and volts. */
final class SampleFiles {
    private static final int LARGEST = 32_767;
    private static final int HEADER = 44;

    private SampleFiles() {}

    /** RIFF of form WAVE, one channel of 16 bits (see {@link WaveForm}). */
    static SampleWriter wave(OutputStream stream, int samplesPerSecond, long samples, double fullScaleVolts) {
        OutputStream out = new BufferedOutputStream(stream, 1 << 16);
        ByteBuffer head = ByteBuffer.allocate(HEADER).order(ByteOrder.LITTLE_ENDIAN);
        head.put(ascii("RIFF")).putInt((int) (HEADER - 8 + 2 * samples)).put(ascii("WAVEfmt ")).putInt(16);
        head.putShort((short) 1).putShort((short) 1).putInt(samplesPerSecond).putInt(2 * samplesPerSecond);
        head.putShort((short) 2).putShort((short) 16).put(ascii("data")).putInt((int) (2 * samples));
        put(out, head.array(), HEADER);
        return new SampleWriter() {
            private byte[] bytes = new byte[0];

            @Override
            public void samples(float[] volts, int count) {
                if (bytes.length < 2 * count) bytes = new byte[2 * count];
                for (int i = 0; i < count; i++) {
                    long x = Math.round(volts[i] / fullScaleVolts * (LARGEST + 1));
                    int clipped = (int) Math.max(-LARGEST, Math.min(LARGEST, x));
                    bytes[2 * i] = (byte) clipped;
                    bytes[2 * i + 1] = (byte) (clipped >> 8);
                }
                put(out, bytes, 2 * count);
            }

            @Override
            public void close() throws IOException {
                out.close();
            }
        };
    }

    /** RFC 4180; times to the picosecond, volts to the tenth of a millivolt. */
    static SampleWriter csv(OutputStream stream, double samplesPerSecond, String column) {
        TextOut out = new TextOut(stream);
        out.line("time_s,\"" + column.replace("\"", "\"\"") + " (V)\"");
        return new SampleWriter() {
            private long taken;

            @Override
            public void samples(float[] volts, int count) {
                for (int i = 0; i < count; i++) {
                    out.time(Math.round(taken++ * 1e12 / samplesPerSecond), TimeUnit.S.picos, 0).put(',');
                    long tenths = Math.round(volts[i] * 1e4);
                    if (tenths < 0) out.put('-');
                    out.put(Math.abs(tenths) / 10_000).put('.');
                    String rest = Long.toString(10_000 + Math.abs(tenths) % 10_000);
                    out.line(rest.substring(1));
                }
            }

            @Override
            public void close() throws IOException {
                out.close();
            }
        };
    }

    private static byte[] ascii(String text) {
        return text.getBytes(StandardCharsets.US_ASCII);
    }

    private static void put(OutputStream out, byte[] bytes, int count) {
        try {
            out.write(bytes, 0, count);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
