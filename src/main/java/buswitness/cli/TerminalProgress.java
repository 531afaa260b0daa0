package buswitness.cli;

import buswitness.problem.Progress;
import java.io.PrintStream;
import java.util.Locale;

/**
 * One line on standard error that tells how far long work has come, rewritten in place a few times a second and wiped
 * at the end. Nothing appears in the first second, so that short work stays quiet.
 */
final class TerminalProgress implements Progress {
    private static final long QUIET_NANOS = 1_000_000_000L;
    private static final long EVERY_NANOS = 250_000_000L;

    private final PrintStream err;
    private final int columns;
    private final long beganNanos;
    private long nextNanos;
    private String stage = "";
    private long stageNanos;
    private int shown;

    private TerminalProgress(PrintStream err, int columns, long nowNanos) {
        this.err = err;
        this.columns = columns;
        this.beganNanos = nowNanos;
        this.nextNanos = nowNanos + QUIET_NANOS;
    }

    /** A progress line where standard error is a terminal; silence elsewhere. */
    static Progress on(Terminal terminal) {
        return terminal.errIsTerminal()
                ? new TerminalProgress(terminal.err(), terminal.columns(), System.nanoTime())
                : Progress.SILENT;
    }

    /** Wipes the line, if there is one. */
    static void end(Progress progress) {
        if (progress instanceof TerminalProgress line) line.show("");
    }

    @Override
    public void at(String newStage, long done, long total) {
        at(newStage, done, total, System.nanoTime());
    }

    private void at(String newStage, long done, long total, long now) {
        if (!newStage.equals(stage)) {
            stage = newStage;
            stageNanos = now;
        }
        if (now - nextNanos < 0) return;
        nextNanos = now + EVERY_NANOS;
        show(line(newStage, done, total, (now - stageNanos) / 1e9, (now - beganNanos) / 1e9));
    }

    /** The text of the line: share done and time left where the total is known, time gone elsewhere. */
    static String line(String stage, long done, long total, double stageSeconds, double seconds) {
        if (total <= 0) return String.format(Locale.ROOT, "%s, %.0f s so far", stage, seconds);
        double share = Math.min(1, Math.max(0, (double) done / total));
        if (share < 0.02) return String.format(Locale.ROOT, "%s, %.0f %%", stage, share * 100);
        double left = stageSeconds * (1 - share) / share;
        return String.format(Locale.ROOT, "%s, %.0f %%, about %s left", stage, share * 100, duration(left));
    }

    private static String duration(double seconds) {
        if (seconds < 90) return String.format(Locale.ROOT, "%.0f s", Math.ceil(seconds));
        return String.format(Locale.ROOT, "%.0f min", Math.ceil(seconds / 60));
    }

    private void show(String text) {
        String fits = text.length() < columns ? text : text.substring(0, columns - 1);
        if (fits.isEmpty() && shown == 0) return;
        err.print("\r" + fits + " ".repeat(Math.max(0, shown - fits.length())));
        if (fits.isEmpty()) err.print("\r");
        err.flush();
        shown = fits.length();
    }
}
