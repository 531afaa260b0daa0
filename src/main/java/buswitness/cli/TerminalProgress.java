package buswitness.cli;

import buswitness.problem.Progress;
import java.io.PrintStream;
import java.util.Locale;

/**
 * One line on standard error that tells how far long work has come, rewritten in place a few times a second and wiped
 * at the end. Nothing appears in the first second, so that short work stays quiet. Threads: the worker calls
 * {@link #at}; a thread of its own paints, so that a stage that reports seldom still shows that it lives.
 */
final class TerminalProgress implements Progress, AutoCloseable {
    private static final int QUIET_MILLIS = 1000;
    private static final int EVERY_MILLIS = 250;

    private final PrintStream err;
    private final int columns;
    private final long beganNanos = System.nanoTime();
    private final Thread painter;
    private volatile State state = new State("", 0, -1, beganNanos);
    private int shown;

    private record State(String stage, long done, long total, long stageNanos) {}

    private TerminalProgress(PrintStream err, int columns) {
        this.err = err;
        this.columns = columns;
        this.painter = new Thread(this::paint, "progress");
        painter.setDaemon(true);
        painter.start();
    }

    /** A progress line where standard error is a terminal; silence elsewhere. Hand it to {@link #end} afterwards. */
    static Progress on(Terminal terminal) {
        return terminal.errIsTerminal() ? new TerminalProgress(terminal.err(), terminal.columns()) : Progress.SILENT;
    }

    /** Wipes the line, if there is one. */
    static void end(Progress progress) {
        if (progress instanceof TerminalProgress line) line.close();
    }

    @Override
    public void at(String stage, long done, long total) {
        State last = state;
        long stageNanos = stage.equals(last.stage) ? last.stageNanos : System.nanoTime();
        state = new State(stage, done, total, stageNanos);
    }

    private void paint() {
        try {
            Thread.sleep(QUIET_MILLIS);
            while (true) {
                State now = state;
                long nanos = System.nanoTime();
                if (!now.stage.isEmpty()) {
                    show(line(now.stage, now.done, now.total, (nanos - now.stageNanos) / 1e9,
                            (nanos - beganNanos) / 1e9));
                }
                Thread.sleep(EVERY_MILLIS);
            }
        } catch (InterruptedException ended) {
            show("");
        }
    }

    @Override
    public void close() {
        painter.interrupt();
        try {
            painter.join();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
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
