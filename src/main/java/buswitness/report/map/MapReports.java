package buswitness.report.map;

import buswitness.map.BusMap;
import buswitness.report.parts.ScreenStyle;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;

/** A map as screen text, JSON, Markdown and a page. Nothing here closes a stream it was given. */
public final class MapReports {
    private MapReports() {}

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
