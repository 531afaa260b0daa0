package buswitness.cli;

import java.io.PrintStream;
import java.util.Map;

/**
 * The streams and surroundings a command runs in, handed in so that tests can look at every byte.
 *
 * @param out         results; bytes are UTF-8
 * @param err         faults, progress and hints
 * @param environment variables; {@code BUSWITNESS_STDOUT} and {@code BUSWITNESS_STDERR} hold {@code terminal} where the
 *                    launcher saw one, since Java cannot ask for one stream alone
 */
record Terminal(PrintStream out, PrintStream err, Map<String, String> environment) {
    private static final int USUAL_COLUMNS = 80;
    private static final int USUAL_ROWS = 24;
    private static final int FEWEST_ROWS = 12;
    private static final int MOST_ROWS = 60;
    private static final int FEWEST_COLUMNS = 30;
    private static final int MOST_COLUMNS = 200;

    boolean outIsTerminal() {
        return "terminal".equals(environment.get("BUSWITNESS_STDOUT"));
    }

    boolean errIsTerminal() {
        return "terminal".equals(environment.get("BUSWITNESS_STDERR"));
    }

    /** Width to wrap at: {@code COLUMNS} where it says something sensible, else 80. */
    int columns() {
        String columns = environment.getOrDefault("COLUMNS", "");
        if (!columns.matches("[0-9]{1,6}")) return USUAL_COLUMNS;
        int wanted = Integer.parseInt(columns);
        return wanted == 0 ? USUAL_COLUMNS : Math.max(FEWEST_COLUMNS, Math.min(MOST_COLUMNS, wanted));
    }

    /** Lines of the screen: {@code LINES} where it says something sensible, else 24. */
    int rows() {
        String lines = environment.getOrDefault("LINES", "");
        if (!lines.matches("[0-9]{1,6}") || Integer.parseInt(lines) == 0) return USUAL_ROWS;
        return Math.max(FEWEST_ROWS, Math.min(MOST_ROWS, Integer.parseInt(lines)));
    }

    /** Whether a stream may carry colour: a terminal, not a dumb one, and {@code NO_COLOR} unset or empty. */
    boolean colourOn(boolean toOut) {
        return (toOut ? outIsTerminal() : errIsTerminal()) && !isDumb()
                && environment.getOrDefault("NO_COLOR", "").isEmpty();
    }

    boolean isDumb() {
        return "dumb".equals(environment.get("TERM"));
    }

    /** Whether details of an unexpected failure are wanted. */
    boolean traces() {
        return "1".equals(environment.get("BUSWITNESS_TRACE"));
    }
}
