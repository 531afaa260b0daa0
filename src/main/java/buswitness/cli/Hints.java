package buswitness.cli;

import buswitness.AnalysisReading;
import buswitness.problem.Notice;
import java.io.PrintStream;

/** Lines under a screen report about how it was made. */
final class Hints {
    private Hints() {}

    /** Says so where a layout was found rather than named; the report itself says where there is none. */
    static void layout(PrintStream screen, AnalysisReading reading) {
        if (!reading.layoutFound()) return;
        screen.println();
        screen.println("Layout: " + reading.layout().source()
                + " (found beside the recording; --no-layout leaves it out).");
    }

    /** Which files were written. */
    static void written(PrintStream screen, String... files) {
        for (String file : files) {
            if (file != null && !file.equals("-")) screen.println("Written: " + file);
        }
    }

    /** What was survived while reading. */
    static void notices(PrintStream err, AnalysisReading reading) {
        for (Notice notice : reading.notices()) {
            err.println("buswitness: " + notice.place().describe() + ": " + notice.says());
        }
        long more = reading.noticesSeen() - reading.notices().size();
        if (more > 0) err.println("buswitness: and " + more + " more of these");
    }
}
