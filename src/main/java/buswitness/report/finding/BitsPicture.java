package buswitness.report.finding;

import buswitness.clashes.Collision;
import buswitness.frames.BitString;
import buswitness.frames.FdFrameBits;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.report.parts.Figures;
import buswitness.report.parts.MetWords;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.Shapes;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.List;

/** A head-on collision bit by bit: what one sender meant, what the other meant, and what the wire carried. */
public record BitsPicture(Sentence title, Sentence says, List<Chunk> chunks, String first, String second,
                          String firstStyle, String secondStyle, String note, String intro) {
    static final int CELL = 15;
    static final int LEFT = 74;
    static final int PER_LINE = 32;
    private static final int ROW = 34;
    private static final int TOP = 34;
    /** Two superposed error flags are twelve dominant bits at most (Bosch CAN FD 1.0, 2012, clause 3.2.3). */
    private static final int MOST_FLAG_BITS = 12;

    private static final String EQUALLY_WIDE = " Bits of a payload go at the data rate and those of the flag at the nominal"
            + " one; here all are drawn equally wide.";

    /** One line of the picture, {@code PER_LINE} bits at most. */
    public record Chunk(String name, List<Field> fields, List<Row> rows, String breakX, String breakLabel) {}

    /** A named stretch of bits above the rows. */
    public record Field(String x, String width, String middle, String label) {}

    /** One row of bits with its level line: recessive high, dominant low. */
    public record Row(String y, String label, String style, String level, List<Cell> cells) {}

    /** One bit. */
    public record Cell(String x, String y, String bit, String style) {}

    static BitsPicture of(Collision c, String coding, BusFormat format, FrameLog log, Names names) {
        BitString wire = wire(c, format, log);
        String first = label(names, c.firstSender(), "one sender");
        String second = label(names, c.secondSender(), "the other");
        int end = Math.min(Math.max(size(c.firstMeant()), size(c.secondMeant())),
                Math.max(size(wire), c.breakBit() + 12));
        end = Math.max(end, size(wire));
        List<Chunk> chunks = new ArrayList<>();
        int lines = (end + PER_LINE - 1) / PER_LINE;
        for (int line = 0; line < lines; line++) {
            // Lines of like length: two bits alone on the last one would tell nothing.
            chunks.add(chunk(c, wire, coding, format, end * line / lines, end * (line + 1) / lines, first, second));
        }
        Sentence title = new Sentence(names.message(c.key()) + " at " + Figures.moment(c.atSeconds()));
        String counter = c.errorCounter() > 0 ? " Both senders' transmit error counters reach "
                + c.errorCounter() + " by it, if they began at 0." : "";
        Sentence says = new Sentence("The two part at bit " + c.breakBit() + ". " + MetWords.became(c) + counter + " "
                + PlainText.foreign(c.because()));
        return new BitsPicture(title, says, chunks, first, second, Shapes.style(c.firstSender()),
                Shapes.style(c.secondSender()), MetWords.note(c.kind()) + (coding.equals("can-fd") ? EQUALLY_WIDE : ""),
                MetWords.intro(c.kind()));
    }

    private static String label(Names names, int sender, String otherwise) {
        String label = names.label(sender);
        return label == null ? otherwise : label + " meant";
    }

    private static int size(BitString bits) {
        return bits == null ? 0 : bits.size();
    }

    /** What the wire carried, stuff bits left out, and after it the error flag as it was sent. */
    private static BitString wire(Collision c, BusFormat format, FrameLog log) {
        BitString read = c.onWire();
        BitString raw = c.frames().isEmpty() ? null : log.wireBits(c.frames().get(0));
        if (read == null || raw == null || c.kind() != Collision.Kind.BROKEN) return read;
        int stuffRun = format != null && format.line() instanceof LineFormat.Stuffed line ? line.stuffAfter() : 5;
        int at = 0;
        int run = 0;
        int last = -1;
        for (int taken = 0; at < raw.size() && taken < read.size(); at++) {
            int bit = raw.get(at);
            boolean stuff = run == stuffRun;
            run = bit == last ? run + 1 : 1;
            last = bit;
            if (!stuff) taken++;
        }
        BitString all = read.slice(0, read.size());
        for (int i = at; i < Math.min(raw.size(), at + MOST_FLAG_BITS) && raw.get(i) == 0; i++) all.add(0);
        return all;
    }

    private static Chunk chunk(Collision c, BitString wire, String coding, BusFormat format, int from, int until, String first,
                               String second) {
        List<Row> rows = new ArrayList<>();
        rows.add(row(c, c.firstMeant(), from, until, first, Shapes.style(c.firstSender()), 0, false));
        rows.add(row(c, c.secondMeant(), from, until, second, Shapes.style(c.secondSender()), 1, false));
        rows.add(row(c, wire, from, until, "the wire", "wire", 2, true));
        boolean here = c.breakBit() >= from && c.breakBit() < until;
        return new Chunk("Bits " + from + " to " + (until - 1), format == null ? fields(c, coding, from, until)
                : FormatFields.of(c, format, from, until), rows,
                here ? Shapes.n(LEFT + (c.breakBit() - from) * CELL) : null, "bit " + c.breakBit());
    }

    private static Row row(Collision c, BitString bits, int from, int until, String label, String style, int number,
                           boolean wire) {
        double top = TOP + number * ROW;
        StringBuilder level = new StringBuilder();
        List<Cell> cells = new ArrayList<>();
        for (int i = from; i < Math.min(until, size(bits)); i++) {
            int bit = bits.get(i);
            double x = LEFT + (i - from) * CELL;
            String y = Shapes.n(bit == 1 ? top + 3 : top + 22);
            level.append(i == from ? "M" + Shapes.n(x) + " " + y : "V" + y).append('H').append(Shapes.n(x + CELL));
            String how = i == c.breakBit() ? "parts" : i < c.breakBit() ? "same" : after(c, number, wire);
            cells.add(new Cell(Shapes.n(x + CELL / 2.0), Shapes.n(top + 17), bit == 1 ? "1" : "0", how));
        }
        return new Row(Shapes.n(top + 17), label, style, level.toString(), cells);
    }

    private static String after(Collision c, int row, boolean wire) {
        return switch (c.kind()) {
            case BROKEN -> wire ? "flag" : "unsent";
            case SUPERPOSED -> "same";
            case IN_TURN -> row == 1 ? "unsent" : "same";
        };
    }

    /** Field borders of a CAN frame, stuff bits left out (Bosch CAN FD 1.0, 2012, clause 3.2.1). */
    private static List<Field> fields(Collision c, String coding, int from, int until) {
        List<Field> out = new ArrayList<>();
        boolean extended = MessageKey.isExtended(c.key());
        int kind = extended ? 33 : 14;
        boolean flexible = coding.equals("can-fd") && size(c.firstMeant()) > kind && c.firstMeant().get(kind) == 1;
        if (flexible) return flexible(c, kind, from, until);
        if (!coding.startsWith("can")) return out;
        int control = extended ? 33 : 13;
        BitString meant = size(c.firstMeant()) > control + 6 ? c.firstMeant() : c.secondMeant();
        int length = size(meant) > control + 6 ? (int) Math.min(8, meant.number(control + 2, 4)) : 8;
        add(out, 0, 1, "start", from, until);
        add(out, 1, extended ? 32 : 12, "identifier", from, until);
        add(out, extended ? 32 : 12, control + 2, "control", from, until);
        add(out, control + 2, control + 6, "length", from, until);
        for (int b = 0; b < length; b++) {
            add(out, control + 6 + 8 * b, control + 14 + 8 * b, "data byte " + (b + 1), from, until);
        }
        int check = control + 6 + 8 * length;
        add(out, check, check + 15, "check", from, until);
        return out;
    }

    /** Of a CAN FD frame; {@code kind} is the bit that says that it is one, five behind it tell the length. */
    private static List<Field> flexible(Collision c, int kind, int from, int until) {
        List<Field> out = new ArrayList<>();
        int identifier = MessageKey.isExtended(c.key()) ? 32 : 12;
        int data = kind + 8;
        int bytes = FdFrameBits.bytes((int) c.firstMeant().number(data - 4, 4));
        add(out, 0, 1, "start", from, until);
        add(out, 1, identifier, "identifier", from, until);
        add(out, identifier, data - 4, "control", from, until);
        add(out, data - 4, data, "length", from, until);
        for (int b = 0; b < bytes; b++) add(out, data + 8 * b, data + 8 * b + 8, "data byte " + (b + 1), from, until);
        add(out, data + 8 * bytes, data + 8 * bytes + 4, "count", from, until);
        add(out, data + 8 * bytes + 4, size(c.firstMeant()), "check", from, until);
        return out;
    }

    static void add(List<Field> out, int first, int end, String label, int from, int until) {
        int a = Math.max(first, from);
        int b = Math.min(end, until);
        if (a >= b) return;
        double x = LEFT + (a - from) * CELL;
        double width = (b - a) * CELL;
        out.add(new Field(Shapes.n(x + 1), Shapes.n(width - 2), Shapes.n(x + width / 2),
                width >= label.length() * 6.2 ? label : ""));
    }
}
