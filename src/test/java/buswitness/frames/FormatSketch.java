package buswitness.frames;

import buswitness.schema.BusFormat;
import buswitness.schema.CheckFormat;
import buswitness.schema.CheckFormat.Kind;
import buswitness.schema.FieldFormat;
import buswitness.schema.FieldFormat.Length;
import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;

/**
 * Draws frames of any described bus on a line, for tests: fields to bits, checks, stuffing, pulses or bytes, straight from
 * the format's words and by other means than the decoder (checks by long division of bit strings). A line is a row of
 * pieces, each a level (0 active) for so many microseconds.
 */
final class FormatSketch {
    /** One level. */
    record Piece(int level, double micros) {}

    /** Where something begins and what it was. */
    record Sent(double startMicros, double endMicros, String bits, byte[] data, long name) {
        /** Names of CAN are compared in full by other tests. */
        long mask() {
            return -1L;
        }
    }

    final BusFormat format;
    final double bitMicros;
    final List<Piece> pieces = new ArrayList<>();
    final List<Sent> sent = new ArrayList<>();
    double now;
    double ppm;
    double asymmetryMicros;

    FormatSketch(BusFormat format, double bitsPerSecond) {
        this.format = format;
        this.bitMicros = 1e6 / bitsPerSecond;
    }

    FormatSketch sender(double partsPerMillion, double asymmetry) {
        ppm = partsPerMillion;
        asymmetryMicros = asymmetry;
        return this;
    }

    void level(int level, double micros) {
        double own = micros * (1 + ppm * 1e-6);
        pieces.add(new Piece(level, own));
        now += own;
    }

    FormatSketch idle(double micros) {
        pieces.add(new Piece(1, micros));
        now += micros;
        return this;
    }

    /** Fields to bits; checks are computed; a constant is written where no value is given. */
    String bits(Map<String, Long> values, byte[] data) {
        Map<String, String> done = new HashMap<>();
        Map<String, Long> known = new HashMap<>(values);
        FieldFormat payload = format.field(format.naming().data());
        if (payload.length() instanceof Length.Counted counted) {
            int want = data.length - counted.plus();
            String counter = counted.fields().get(0);
            if (counted.table().isEmpty()) known.putIfAbsent(counter, (long) want);
            else known.putIfAbsent(counter, (long) counted.table().indexOf(data.length));
        }
        List<String> order = new ArrayList<>();
        for (FieldFormat field : format.fields()) {
            order.add(field.name());
            boolean there = field.isPresent(name -> done.getOrDefault(name, "").isEmpty() ? -1
                    : Long.parseLong(done.get(name), 2));
            if (!there) done.put(field.name(), "");
            else if (field == payload) done.put(field.name(), text(data));
            else done.put(field.name(), text(known.getOrDefault(field.name(), Math.max(0, field.constant())), field.bits()));
        }
        for (FieldFormat field : format.fields()) {
            for (CheckFormat check : format.checks()) {
                if (!check.field().equals(field.name()) || known.containsKey(field.name())) continue;
                StringBuilder span = new StringBuilder();
                for (int i = order.indexOf(check.from()); i <= order.indexOf(check.until()); i++) span.append(done.get(order.get(i)));
                done.put(field.name(), check(check.kind(), span.toString(), field.bits()));
                break;
            }
        }
        StringBuilder all = new StringBuilder();
        for (String name : order) all.append(done.get(name));
        return all.toString();
    }

    static String text(long value, int width) {
        StringBuilder out = new StringBuilder();
        for (int i = width - 1; i >= 0; i--) out.append(value >>> i & 1);
        return out.toString();
    }

    static String text(byte[] data) {
        StringBuilder out = new StringBuilder();
        for (byte b : data) out.append(text(b & 0xFF, 8));
        return out.toString();
    }

    /** By long division of polynomials, and by plain sums. */
    static String check(Kind kind, String span, int width) {
        if (kind instanceof Kind.Crc crc) return division(crc, span);
        int[] bytes = new int[(span.length() + 7) / 8];
        for (int i = 0; i < bytes.length; i++) bytes[i] = Integer.parseInt(span.substring(8 * i, Math.min(span.length(), 8 * i + 8)), 2);
        if (kind instanceof Kind.Sum sum) {
            int total = 0;
            for (int b : bytes) total += b;
            // Subtracting 255 for each carry is counting modulo 255, but for the zero.
            if (sum.endAroundCarry()) total = total == 0 ? 0 : (total - 1) % 255 + 1;
            return text((sum.inverted() ? 255 - total : total) & 0xFF, width);
        }
        if (kind instanceof Kind.Xor xor) {
            int total = xor.inverted() ? 0xFF : 0;
            for (int b : bytes) total ^= b;
            return text(total, width);
        }
        Kind.Parity parity = (Kind.Parity) kind;
        StringBuilder out = new StringBuilder();
        for (int p = 0; p < parity.masks().size(); p++) {
            int ones = parity.inverted().get(p) ? 1 : 0;
            String mask = text(parity.masks().get(p), span.length());
            for (int i = 0; i < span.length(); i++) if (mask.charAt(i) == '1' && span.charAt(i) == '1') ones++;
            out.append(ones % 2);
        }
        return out.toString();
    }

    private static String division(Kind.Crc crc, String span) {
        StringBuilder in = new StringBuilder();
        if (crc.reflectIn()) {
            for (int i = 0; i < span.length(); i += 8) {
                in.append(new StringBuilder(span.substring(i, Math.min(span.length(), i + 8))).reverse());
            }
        } else {
            in.append(span);
        }
        int w = crc.width();
        char[] a = (in + "0".repeat(w)).toCharArray();
        String initial = text(crc.initial(), w);
        for (int i = 0; i < w; i++) a[i] ^= (char) (initial.charAt(i) - '0');
        String divisor = "1" + text(crc.polynomial(), w);
        for (int i = 0; i + w < a.length; i++) {
            if (a[i] != '1') continue;
            for (int k = 0; k <= w; k++) a[i + k] ^= (char) (divisor.charAt(k) - '0');
        }
        String rest = new String(a, a.length - w, w);
        if (crc.reflectOut()) rest = new StringBuilder(rest).reverse().toString();
        return text(Long.parseLong(rest, 2) ^ crc.finalXor(), w);
    }

    /** A whole frame with nothing after it but its own end. @return its bits without start and stuff bits */
    String frame(Map<String, Long> values, byte... data) {
        return raw(bits(values, data), data, name(values));
    }

    private long name(Map<String, Long> values) {
        long name = 0;
        for (String field : format.naming().message()) {
            if (field.equals("extension") && values.getOrDefault("extended", 0L) == 0) continue;
            name = name << format.field(field).bits() | values.getOrDefault(field, 0L);
        }
        return name;
    }

    /** Bits as they are, right or wrong, put on the wire as the line has it. */
    String raw(String bits, byte[] data, long name) {
        double from = now;
        LineFormat line = format.line();
        if (line instanceof LineFormat.Stuffed s) stuffed(s, bits);
        else if (line instanceof LineFormat.VariablePulse v) pulses(v, bits, true);
        else if (line instanceof LineFormat.PulseWidth p) widths(p, bits);
        else bytes((LineFormat.Bytes) line, bits, true);
        sent.add(new Sent(from, now, bits, data, name));
        return bits;
    }

    private void stuffed(LineFormat.Stuffed line, String bits) {
        StringBuilder out = new StringBuilder();
        String all = "0" + bits;
        int run = 0;
        for (int i = 0; i < all.length(); i++) {
            char c = all.charAt(i);
            run = out.length() > 0 && out.charAt(out.length() - 1) == c ? run + 1 : 1;
            out.append(c);
            if (run == line.stuffAfter()) {
                out.append(c == '0' ? '1' : '0');
                run = 1;
            }
        }
        wire(out + (line.acknowledge() ? "101" : "") + "1".repeat(line.endBits()));
    }

    /** Bits as they stand on a line of bits. */
    void wire(String bits) {
        for (int i = 0; i < bits.length(); i++) level(bits.charAt(i) - '0', bitMicros);
    }

    private void pulses(LineFormat.VariablePulse line, String bits, boolean start) {
        if (start) level(0, line.start().nominal());
        int level = 1;
        for (int i = 0; i < bits.length(); i++) {
            boolean brief = bits.charAt(i) == '1' == (level == 0);
            level(level, (brief ? line.shortPulse() : line.longPulse()).nominal());
            level = 1 - level;
        }
        level(1, line.endOfFrame().nominal());
    }

    private void widths(LineFormat.PulseWidth line, String bits) {
        level(0, line.start().nominal());
        level(1, line.startTotal().nominal() - line.start().nominal());
        for (int i = 0; i < bits.length(); i++) {
            double active = (bits.charAt(i) == '1' ? line.one() : line.zero()).nominal();
            level(0, active);
            double until = i == bits.length() - 1 ? line.endOfFrame().nominal() : line.bit().nominal();
            level(1, until - active);
        }
    }

    void bytes(LineFormat.Bytes line, String bits, boolean start) {
        if (start && line.breakBits() > 0) {
            level(0, line.breakBits() * bitMicros);
            level(1, line.breakEnd() * bitMicros);
        }
        for (int i = 0; i + 8 <= bits.length(); i += 8) oneByte(line, bits.substring(i, i + 8));
    }

    void oneByte(LineFormat.Bytes line, String eight) {
        String sentBits = line.lowBitFirst() ? new StringBuilder(eight).reverse().toString() : eight;
        level(0, bitMicros);
        int ones = 0;
        for (int k = 0; k < 8; k++) {
            ones += sentBits.charAt(k) - '0';
            level(sentBits.charAt(k) - '0', bitMicros);
        }
        if (line.parity() > 0) level((line.parity() == 1 ? 1 - ones % 2 : ones % 2), bitMicros);
        level(1, line.stopBits() * bitMicros);
    }

    /** Rest that surely separates two frames. */
    double restMicros() {
        LineFormat line = format.line();
        if (line instanceof LineFormat.Stuffed s) return (s.restBits() + 12) * bitMicros;
        if (line instanceof LineFormat.VariablePulse v) return 2 * v.restMicros();
        if (line instanceof LineFormat.PulseWidth p) return 2 * p.restMicros();
        return 1.2 * ((LineFormat.Bytes) line).restBits() * bitMicros;
    }

    double shortestMicros() {
        LineFormat line = format.line();
        if (line instanceof LineFormat.VariablePulse v) return v.shortPulse().nominal();
        if (line instanceof LineFormat.PulseWidth p) return p.one().nominal();
        return bitMicros;
    }

    /** The same line with its level turned over for a while. */
    FormatSketch turned(double from, double until) {
        FormatSketch other = new FormatSketch(format, 1e6 / bitMicros);
        double at = 0;
        for (Piece piece : pieces) {
            double end = at + piece.micros;
            double a = Math.max(at, Math.min(end, from));
            double b = Math.max(at, Math.min(end, until));
            if (a > at) other.pieces.add(new Piece(piece.level, a - at));
            if (b > a) other.pieces.add(new Piece(1 - piece.level, b - a));
            if (end > b) other.pieces.add(new Piece(piece.level, end - b));
            at = end;
        }
        return other;
    }

    /** Symbols are all as long as a bit. */
    boolean isBits() {
        return format.line() instanceof LineFormat.Stuffed || format.line() instanceof LineFormat.Bytes;
    }

    /** A break may lose its last bits: eleven are enough (LIN 2.2A, 2.3.1.1). */
    boolean harmless(double at, Sent frame) {
        return format.line() instanceof LineFormat.Bytes b && b.breakBits() > 0
                && Math.rint((at - frame.startMicros()) / bitMicros) == b.breakBits() - 1;
    }

    WireSketch.Recorded record(double tickMicros, boolean inverted) {
        return record(tickMicros, inverted, 0, 1);
    }

    WireSketch.Recorded record(double tickMicros, boolean inverted, double jitterMicros, long seed) {
        Random random = new Random(seed);
        long[] at = new long[pieces.size() + 1];
        byte[] levels = new byte[pieces.size() + 1];
        int n = 0;
        int level = 1;
        double time = 0;
        for (Piece piece : pieces) {
            if (piece.level != level) {
                level = piece.level;
                double edge = time + (level == 1 ? asymmetryMicros : 0) + jitterMicros * random.nextGaussian();
                long picos = Math.round(Math.floor(edge / tickMicros) * tickMicros * 1e6);
                if (n > 0 && picos <= at[n - 1]) n--;
                else {
                    at[n] = picos;
                    levels[n++] = (byte) (inverted ? 1 - level : level);
                }
            }
            time += piece.micros;
        }
        return new WireSketch.Recorded(java.util.Arrays.copyOf(at, n), java.util.Arrays.copyOf(levels, n),
                inverted ? 0 : 1, Math.round(time * 1e6));
    }
}
