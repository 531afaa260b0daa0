package buswitness.report.finding;

import buswitness.Findings;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.report.parts.ScreenStyle;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.util.List;

/**
 * Findings as screen text, JSON, CSV and a page, and a decoded line as a listing. Same findings, same bytes. Nothing here
 * closes a stream it was given.
 */
public final class FindingReports {
    private FindingReports() {}

    /** The verdict in plain words first, then what it rests on, what to do and what to mind. */
    public static void writeScreen(Findings findings, PrintStream out, ScreenStyle style) {
        new ScreenReport(findings, out, style).write();
        out.flush();
    }

    /** UTF-8 JSON, format {@code buswitness-finding/1}; numbers that are not known are null. */
    public static void writeJson(Findings findings, OutputStream out) throws IOException {
        JsonReport.write(findings, out);
    }

    /** RFC 4180 CSV in UTF-8, one row a frame in time order, start of frame exact to the picosecond. */
    public static void writeFramesCsv(Findings findings, OutputStream out) throws IOException {
        FramesCsv.write(findings.frames(), findings.clashes(), out);
    }

    /** As {@link #writeFramesCsv(Findings, OutputStream)} before anybody was attributed: senders stay empty. */
    public static void writeFramesCsv(FrameLog frames, OutputStream out) throws IOException {
        FramesCsv.write(frames, null, out);
    }

    /**
     * One self-contained HTML page in UTF-8: fetches nothing, stays under 2 MB whatever the recording's length, and can
     * be read, printed and kept.
     */
    public static void writeHtml(Findings findings, OutputStream out) throws IOException {
        PageReport.write(findings, out);
    }

    /** The wire frame by frame: time, identifier, data, fault; gaps said where they are. */
    public static void writeDecode(BusInfo bus, FrameLog frames, List<Gap> gaps, List<Mark> marks, PrintStream out,
                                   ScreenStyle style) {
        new DecodeListing(bus, frames, gaps, marks, out, style).write();
        out.flush();
    }
}
