package buswitness.report;

import buswitness.Findings;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.live.LivePages;
import buswitness.live.LiveState;
import buswitness.map.BusMap;
import buswitness.predict.Forecast;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.List;

/**
 * Findings as screen text, JSON, CSV and a page. Same findings, same bytes. Nothing here closes a stream it was given.
 */
public final class Reports {
    private Reports() {}

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

    /** What a live page shows while a recording is taken. */
    public static LivePages livePages(Path recording) {
        return new LivePage(recording.getFileName().toString());
    }

    /** A live state as a screen of some lines, no wider than the style says. */
    public static List<String> liveScreen(LiveState state, ScreenStyle style, int mostLines) {
        return new LiveScreen(state, style).lines(mostLines);
    }

    /** A live state as one line, for a log. */
    public static String liveLine(LiveState state, ScreenStyle style) {
        return new LiveScreen(state, style).line();
    }

    /** The forecast for a terminal: the answer first. */
    public static void writeScreen(Forecast forecast, PrintStream out, ScreenStyle style) {
        new PredictScreen(forecast, out, style).write();
        out.flush();
    }

    /** UTF-8 JSON, format {@code buswitness-prediction/1}; numbers that are not known are null. */
    public static void writeJson(Forecast forecast, OutputStream out) throws IOException {
        PredictJson.write(forecast, out);
    }

    /** One self-contained HTML page in UTF-8 that fetches nothing, runs no script and prints on A4. */
    public static void writeHtml(Forecast forecast, OutputStream out) throws IOException {
        PredictPage.write(forecast, out);
    }

    /** A map for a terminal. */
    public static void writeScreen(BusMap map, PrintStream out, ScreenStyle style) {
        new MapScreen(map, out, style).write();
        out.flush();
    }

    /** UTF-8 JSON, format {@code buswitness-map/1}; numbers that are not known are null. */
    public static void writeJson(BusMap map, OutputStream out) throws IOException {
        MapJson.write(map, out);
    }

    /** UTF-8 Markdown with everything the page holds but its drawings. */
    public static void writeMarkdown(BusMap map, OutputStream out) throws IOException {
        MapMarkdown.write(map, out);
    }

    /** One self-contained HTML page in UTF-8 that fetches nothing, runs no script and prints on A4. */
    public static void writeHtml(BusMap map, OutputStream out) throws IOException {
        MapPage.write(map, out);
    }
}
