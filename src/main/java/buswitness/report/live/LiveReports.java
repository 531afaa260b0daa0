package buswitness.report.live;

import buswitness.live.LivePages;
import buswitness.live.LiveState;
import buswitness.report.parts.ScreenStyle;
import java.nio.file.Path;
import java.util.List;

/** What a recording shows while it is being taken, as a screen and as a page. */
public final class LiveReports {
    private LiveReports() {}

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
}
