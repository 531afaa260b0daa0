package buswitness.report.finding;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.frames.MessageKey;
import buswitness.report.parts.BusWords;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenLines;
import buswitness.report.parts.ScreenStyle;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import java.io.PrintStream;
import java.util.List;

/** The wire frame by frame, as a table that a narrow screen can hold. */
final class DecodeListing {
    private final BusInfo bus;
    private final FrameLog frames;
    private final List<Gap> gaps;
    private final List<Mark> marks;
    private final PrintStream out;
    private final ScreenStyle style;

    DecodeListing(BusInfo bus, FrameLog frames, List<Gap> gaps, List<Mark> marks, PrintStream out, ScreenStyle style) {
        this.bus = bus;
        this.frames = frames;
        this.gaps = gaps;
        this.marks = marks;
        this.out = out;
        this.style = style;
    }

    void write() {
        int timeWidth = Math.max(8, Figures.fixed(bus.durationPicos() * 1e-12, 6).length());
        int idWidth = 10;
        row(pad("time, s", timeWidth) + "  " + padRight("identifier", idWidth) + "  " + padRight("data", 23)
                + "  fault");
        int gap = 0;
        int mark = 0;
        BusFormat format = BusFormats.of(bus.coding(), null);
        BusFormat.Sleep sleep = format == null ? null : format.sleep();
        for (int i = 0; i < frames.size(); i++) {
            while (gap < gaps.size() && gaps.get(gap).untilPicos() <= frames.startPicos(i)) gapRow(gaps.get(gap++));
            while (mark < marks.size() && marks.get(mark).atPicos() <= frames.startPicos(i)) markRow(marks.get(mark++));
            if (sleep != null) silence(i, sleep);
            String time = Figures.fixed(frames.startPicos(i) * 1e-12, 6);
            String data = frames.isRemote(i) ? "remote, length " + frames.lengthCode(i) : spaced(FramesCsv.hex(frames, i)) + reply(i)
                    + (sleep != null && isSleepCommand(i, sleep) ? "  go to sleep" : "");
            row(pad(time, timeWidth) + "  " + padRight(MessageKey.text(frames.key(i)), idWidth) + "  "
                    + (frames.isWhole(i) ? data : padRight(data, 23) + "  " + fault(i)));
        }
        while (gap < gaps.size()) gapRow(gaps.get(gap++));
        while (mark < marks.size()) markRow(marks.get(mark++));
        ScreenLines lines = new ScreenLines(out, style);
        lines.blank();
        lines.paragraph(0, 0, ScreenLines.Tone.QUIET, BusWords.frames(frames) + ", in "
                + Figures.span(bus.durationPicos() * 1e-12) + "; " + bus.recognition().title() + " at "
                + BusWords.rate(bus) + (bus.rateGiven() || !bus.wire() ? ""
                : ", rate found from the wire, confidence " + Figures.percent(bus.rateConfidence())) + ". "
                + BusWords.recognised(bus));
    }

    private boolean isSleepCommand(int i, BusFormat.Sleep sleep) {
        return frames.isWhole(i) && MessageKey.identifier(frames.key(i)) == sleep.message() && frames.dataLength(i) > 0
                && frames.dataByte(i, 0) == sleep.firstByte();
    }

    /** A rest so long that nodes may sleep. */
    private void silence(int i, BusFormat.Sleep sleep) {
        long from = i == 0 ? 0 : frames.endPicos(i - 1);
        for (Gap gap : gaps) if (gap.untilPicos() > from && gap.fromPicos() < frames.startPicos(i)) return;
        double seconds = (frames.startPicos(i) - from) * 1e-12;
        if (seconds < sleep.afterSeconds()) return;
        row("-- silent from " + PlainText.bare(Figures.moment(from * 1e-12)) + " on, for "
                + PlainText.bare(Figures.span(seconds)) + ": the bus sleeps");
    }

    private void gapRow(Gap gap) {
        row("-- " + PlainText.clean(BusWords.gap(gap)));
    }

    private void markRow(Mark mark) {
        row("-- " + PlainText.clean(PlainText.bare(BusWords.mark(mark))));
    }

    private String fault(int i) {
        FrameFault fault = frames.fault(i);
        boolean placed = frames.faultBit(i) >= 0 && (fault.isDamage() || fault == FrameFault.CUT);
        return fault.text() + (placed ? " at bit " + frames.faultBit(i) : "");
    }

    /** A reply within the frame, behind the frame's own bytes. */
    private String reply(int i) {
        byte[] reply = frames.response(i);
        if (reply.length == 0) return "";
        return "  reply " + spaced(java.util.HexFormat.of().withUpperCase().formatHex(reply));
    }

    private static String spaced(String hex) {
        StringBuilder text = new StringBuilder(hex.length() * 3 / 2);
        for (int k = 0; k < hex.length(); k += 2) {
            if (k > 0) text.append(' ');
            text.append(hex, k, k + 2);
        }
        return text.toString();
    }

    /** A row runs on below itself, set in, where the screen is too narrow. */
    private void row(String text) {
        String shown = (style.unicode() ? text : PlainText.ascii(text)).replace('\u00A0', ' ').stripTrailing();
        String rest = shown;
        int width = style.columns();
        while (rest.length() > width) {
            int cut = rest.lastIndexOf(' ', width);
            if (cut <= 4) cut = width;
            out.print(rest.substring(0, cut).stripTrailing());
            out.print('\n');
            rest = "    " + rest.substring(cut).strip();
        }
        out.print(rest);
        out.print('\n');
    }

    private static String pad(String text, int width) {
        return " ".repeat(Math.max(0, width - text.length())) + text;
    }

    private static String padRight(String text, int width) {
        return text + " ".repeat(Math.max(0, width - text.length()));
    }
}
