package buswitness.report.predict;

import buswitness.predict.Forecast;
import buswitness.report.parts.ScreenStyle;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;

/** A forecast as screen text, JSON and a page. Nothing here closes a stream it was given. */
public final class PredictReports {
    private PredictReports() {}

    /**
     * The forecast for a terminal: the answer, the best remedy and the table of all, and what to mind.
     *
     * @param all what it rests on as well, message by message
     */
    public static void writeScreen(Forecast forecast, PrintStream out, ScreenStyle style, boolean all) {
        new PredictScreen(forecast, out, style).write(all);
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
}
