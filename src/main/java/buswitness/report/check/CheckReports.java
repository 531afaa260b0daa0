package buswitness.report.check;

import buswitness.plan.CheckState;
import buswitness.plan.LaterFinding;
import buswitness.report.parts.ScreenStyle;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.util.List;

/** Checks of an install as screen text, JSON and a sign-off sheet. Nothing here closes a stream it was given. */
public final class CheckReports {
    private CheckReports() {}

    /**
     * How far a check has come: what failed and what is open first.
     *
     * @param filled name of the step that was just filled, shown first; or null
     */
    public static void writeScreen(CheckState state, String filled, PrintStream out, ScreenStyle style) {
        new CheckScreen(state, out, style).write(filled);
        out.flush();
    }

    /** UTF-8 JSON, format {@code buswitness-check/1}. */
    public static void writeJson(CheckState state, OutputStream out) throws IOException {
        CheckJson.write(state, out);
    }

    /** The sign-off sheet: one self-contained HTML page without script, for A4. */
    public static void writeSheet(CheckState state, OutputStream out) throws IOException {
        CheckSheet.write(state, out);
    }

    /** A customer's later recording beside the record of a unit. */
    public static void writeLaterScreen(List<LaterFinding> findings, CheckState state, String recording, PrintStream out,
                                        ScreenStyle style) {
        CheckScreen.later(findings, state, recording, out, style);
        out.flush();
    }

    /** The same as JSON: a check with {@code later}. */
    public static void writeLaterJson(List<LaterFinding> findings, CheckState state, OutputStream out) throws IOException {
        CheckJson.later(findings, state, out);
    }
}
