package buswitness.frames;

import buswitness.schema.CheckFormat.Kind;
import java.util.ArrayList;
import java.util.List;

/** Draws CAN FD frames from the words of ISO 11898-1:2015, by string division and without the decoder's code. */
final class FdSketch {
    private static final int[] BYTES = {0, 1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 20, 24, 32, 48, 64};
    private static final String[] GRAY = {"0000", "0011", "0110", "0101", "1100", "1111", "1010", "1001"};

    final double nominalMicros;
    final double dataMicros;
    private double switchPoint = 0.8;
    final List<FormatSketch.Piece> pieces = new ArrayList<>();
    final List<double[]> startEnd = new ArrayList<>();
    double now;
    private double factor = 1;

    FdSketch(double nominal, double data) {
        nominalMicros = 1e6 / nominal;
        dataMicros = 1e6 / data;
    }

    FdSketch switchPoint(double share) {
        switchPoint = share;
        return this;
    }

    FdSketch clock(double ppm) {
        factor = 1 + ppm * 1e-6;
        return this;
    }

    FdSketch level(int level, double micros) {
        pieces.add(new FormatSketch.Piece(level, micros * factor));
        now += micros * factor;
        return this;
    }

    FdSketch idle(double bits) {
        return level(1, bits * nominalMicros);
    }

    /** Bits from start of frame to the payload's end, without stuff bits. {@code control}: IDE, FDF, res, BRS, ESI, DLC. */
    static String body(int id, int control, byte[] data) {
        return "0" + FormatSketch.text(id, 11) + "0" + FormatSketch.text(control, 9) + FormatSketch.text(data);
    }

    static String extended(int id, boolean switched, int code, byte[] data) {
        return "0" + FormatSketch.text(id >>> 18, 11) + "11" + FormatSketch.text(id & 0x3FFFF, 18) + "010"
                + (switched ? "1" : "0") + "0" + FormatSketch.text(code, 4) + FormatSketch.text(data);
    }

    static int code(int bytes) {
        for (int i = 0; i < BYTES.length; i++) if (BYTES[i] == bytes) return i;
        throw new IllegalArgumentException();
    }

    static String dynamic(String bits) {
        StringBuilder out = new StringBuilder();
        int run = 0;
        for (int i = 0; i < bits.length(); i++) {
            char c = bits.charAt(i);
            run = out.length() > 0 && out.charAt(out.length() - 1) == c ? run + 1 : 1;
            out.append(c);
            if (run == 5 && i < bits.length() - 1) {
                out.append(c == '0' ? '1' : '0');
                run = 1;
            }
        }
        return out.toString();
    }

    /** The wire from start of frame to the last check bit: dynamic stuffing, stuff count, check, fixed stuff bits. */
    static String wire(String body, int bytes) {
        String stuffed = dynamic(body);
        String count = GRAY[(stuffed.length() - body.length()) % 8];
        int width = bytes <= 16 ? 17 : 21;
        long polynomial = width == 17 ? 0x1685B : 0x102899;
        String crc = FormatSketch.check(new Kind.Crc(width, polynomial, 1L << width - 1, false, false, 0), stuffed + count, width);
        StringBuilder out = new StringBuilder(stuffed);
        String field = count + crc;
        for (int i = 0; i < field.length(); i++) {
            if (i % 4 == 0) out.append(out.charAt(out.length() - 1) == '0' ? '1' : '0');
            out.append(field.charAt(i));
        }
        return out.toString();
    }

    /** Index on the wire of the bit that stands at {@code wanted} without stuff bits. */
    static int wireIndex(String wire, int wanted) {
        int run = 0;
        int count = 0;
        for (int i = 0; i < wire.length(); i++) {
            boolean stuff = run == 5;
            run = i > 0 && wire.charAt(i) == wire.charAt(i - 1) ? run + 1 : 1;
            if (stuff) continue;
            if (count++ == wanted) return i;
        }
        throw new IllegalArgumentException();
    }

    /** A whole frame with acknowledge and intermission; {@code switchAt} on the wire, or -1 without a switch. */
    FdSketch send(String wire, int switchAt) {
        double from = now;
        for (int i = 0; i < wire.length(); i++) {
            double bit = switchAt < 0 || i < switchAt ? nominalMicros
                    : i == switchAt ? switchPoint * nominalMicros + (1 - switchPoint) * dataMicros : dataMicros;
            level(wire.charAt(i) - '0', bit);
        }
        level(1, switchAt < 0 ? nominalMicros : switchPoint * dataMicros + (1 - switchPoint) * nominalMicros);
        level(0, nominalMicros);
        idle(11);
        startEnd.add(new double[] {from, now - 3 * nominalMicros});
        return this;
    }

    FdSketch frame(int id, boolean extended, boolean switched, byte[] data) {
        int code = code(data.length);
        String body = extended ? extended(id, switched, code, data)
                : body(id, 0b0_1000_0000 | (switched ? 0b0_0010_0000 : 0) | code, data);
        String wire = wire(body, data.length);
        return send(wire, switched ? wireIndex(wire, extended ? 35 : 16) : -1);
    }

    FdSketch classical(int id, byte[] data) {
        return send(CanFrameBits.stuffed(CanFrameBits.unstuffed(id, false, false, data.length, data)).toString(), -1);
    }

    FormatSketch line() {
        FormatSketch line = new FormatSketch(buswitness.schema.BusFormats.builtIn("can"), 1e6 / nominalMicros);
        line.pieces.addAll(pieces);
        return line;
    }
}
