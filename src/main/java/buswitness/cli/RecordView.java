package buswitness.cli;

import buswitness.live.LiveOptions;
import buswitness.live.LiveState;
import buswitness.live.LiveView;
import buswitness.live.RecorderState;
import buswitness.probe.RecordControl;
import buswitness.probe.RecordStatus;
import buswitness.report.live.LiveReports;
import buswitness.report.parts.ScreenStyle;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * What the person at the bench sees while a recording is taken: on a terminal a screen rewritten in place, with a line below it
 * for marks; elsewhere a plain line now and then. One thread paints; words come from the recording's thread.
 */
final class RecordView implements AutoCloseable {
    private static final long PAINT_MILLIS = 500;
    private static final long LINE_MILLIS = 10_000;
    private static final int WORDS = 2;
    private static final String PROMPT = "Mark (a label, then Enter; q ends): ";

    private final Terminal terminal;
    private final boolean inPlace;
    private final RecordControl control = new RecordControl(this::say);
    private final LiveView live;
    private final ArrayDeque<String> words = new ArrayDeque<>();
    private final ScreenStyle style;
    private final Thread painter;
    private final Map<String, String> keys;
    private String lastWord = "";
    private String address = "";
    private String lastTone = "";
    private long lastLine;
    private boolean fresh = true;
    private boolean wasBehind;

    /**
     * @param live how to look on, or null for not at all
     * @param keys letters or digits that stand for marks, with their labels
     */
    RecordView(Terminal terminal, LiveOptions live, Map<String, String> keys) {
        this.keys = new TreeMap<>(keys);
        this.terminal = terminal;
        this.inPlace = live != null && terminal.errIsTerminal() && !terminal.isDumb();
        this.style = new ScreenStyle(terminal.columns() - 1, terminal.colourOn(false), true);
        this.live = live == null ? null : new LiveView(live);
        this.painter = new Thread(this::paint, "screen");
        painter.setDaemon(true);
        lastLine = System.nanoTime();
        if (this.live != null) control.watch(this.live::opened);
    }

    RecordControl control() {
        return control;
    }

    /** Serves the page and says where. */
    void serve(int port, Path recording) {
        address = live.serve(port, LiveReports.livePages(recording, keys), control::mark).toString();
        if (!inPlace) terminal.err().println("Live page, on this computer alone: " + address);
    }

    void start() {
        if (live != null) painter.start();
    }

    /** A line that somebody typed. */
    void typed(String line) {
        if (line.strip().equals("q")) {
            control.stop();
        } else {
            control.mark(line.isBlank() ? "mark" : keys.getOrDefault(line.strip(), line.strip()));
        }
        synchronized (this) {
            fresh = true;
        }
    }

    private synchronized void say(String line) {
        lastWord = line;
        if (!inPlace) {
            terminal.err().println(line);
            return;
        }
        words.add(line);
        if (words.size() > WORDS) words.removeFirst();
    }

    private void paint() {
        try {
            while (!Thread.currentThread().isInterrupted()) {
                tick(false);
                Thread.sleep(PAINT_MILLIS);
            }
        } catch (InterruptedException over) {
            // The last picture is painted by whoever ends the view.
        }
    }

    private synchronized void tick(boolean last) {
        RecordStatus s = control.status();
        live.recorder(new RecorderState(s.connected(), s.portShare(), s.lostBlocks(), s.gaps(), lastWord,
                s.silentSeconds()));
        LiveState state = live.state();
        // From the background a screen would be painted over whatever stands in front.
        boolean behind = inPlace && !Keyboard.isForeground();
        if (inPlace && !behind) {
            screen(state, last || wasBehind);
            wasBehind = false;
            return;
        }
        wasBehind |= behind;
        long now = System.nanoTime();
        String tone = state.judgement() == null ? "" : state.judgement().clash().text();
        if (last || !tone.equals(lastTone) || !behind && now - lastLine > LINE_MILLIS * 1_000_000) {
            lastTone = tone;
            lastLine = now;
            terminal.err().println(LiveReports.liveLine(state, style));
        }
    }

    /** ECMA-48: cursor position, erase in line, erase in page; the place of the cursor is kept by DEC's save and restore. */
    private void screen(LiveState state, boolean last) {
        int room = terminal.rows() - WORDS - 2;
        List<String> lines = new ArrayList<>(LiveReports.liveScreen(state, style, room));
        while (lines.size() < room) lines.add("");
        if (!address.isEmpty()) lines.set(room - 1, "Page: " + address);
        for (String word : words) lines.add(word.length() > style.columns() ? word.substring(0, style.columns()) : word);
        while (lines.size() < room + WORDS) lines.add("");
        StringBuilder out = new StringBuilder();
        out.append(fresh ? "\u001B[2J" : "\u001B7").append("\u001B[H");
        for (String line : lines) out.append(line).append("\u001B[K\r\n");
        if (last) out.append("\u001B[J");
        else out.append(fresh ? "\u001B[K" + PROMPT : "\u001B8");
        fresh = false;
        terminal.err().print(out);
        terminal.err().flush();
    }

    /** The recording has ended: waits for the last judgement and shows it. */
    void finish() {
        if (live == null) return;
        painter.interrupt();
        live.finish();
        tick(true);
    }

    @Override
    public void close() throws IOException {
        painter.interrupt();
        if (live != null) live.close();
    }
}
