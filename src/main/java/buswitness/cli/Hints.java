package buswitness.cli;

import buswitness.AnalysisReading;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import java.io.PrintStream;
import java.util.List;

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
        notices(err, reading.notices(), reading.noticesSeen());
    }

    static void notices(PrintStream err, NoticeLog log) {
        notices(err, log.kept(), log.seen());
    }

    private static void notices(PrintStream err, List<Notice> kept, long seen) {
        for (Notice notice : kept) {
            err.println("buswitness: " + notice.place().describe() + ": " + notice.says());
        }
        long more = seen - kept.size();
        if (more > 0) err.println("buswitness: and " + more + " more of these");
    }
}
