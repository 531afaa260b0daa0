package buswitness.report.live;

import buswitness.live.LivePages;
import buswitness.live.LiveState;
import buswitness.report.parts.ScreenStyle;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;

/** What a recording shows while it is being taken, as a screen and as a page. */
public final class LiveReports {
    private LiveReports() {}

    /**
     * What a live page shows while a recording is taken.
     *
     * @param keys letters or digits that set a mark when pressed, with their labels, in order
     */
    public static LivePages livePages(Path recording, Map<String, String> keys) {
        return new LivePage(recording.getFileName().toString(), keys);
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
