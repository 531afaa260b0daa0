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
 * for marks; elsewhere a plain line now and then. One thread writes; words come from the recording's thread, which never waits
 * for a screen that takes nothing (a terminal held with Ctrl-S): the recording goes on, and what was said is shown later.
 */
final class RecordView implements AutoCloseable {
    private static final long PAINT_MILLIS = 500;
    private static final long LINE_MILLIS = 10_000;
    private static final int WORDS = 2;
    /** Lines kept for a stream that takes nothing. */
    private static final int MOST_UNWRITTEN = 1000;
    private static final String PROMPT = "Mark (a label, then Enter; q ends): ";

    private final Terminal terminal;
    private final boolean inPlace;
    private final RecordControl control = new RecordControl(this::say);
    private final LiveView live;
    /** Guards what was said; held for moments only, never while writing. */
    private final Object said = new Object();
    /** The last words, below the screen. */
    private final ArrayDeque<String> words = new ArrayDeque<>();
    /** Lines that were not written yet, where there is no screen. */
    private final ArrayDeque<String> unwritten = new ArrayDeque<>();
    private final ScreenStyle style;
    private final Thread painter;
    private final Map<String, String> keys;
    private String lastWord = "";
    private String address = "";
    private String lastTone = "";
    private long lastLine;
    private volatile boolean fresh = true;
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
        painter.start();
    }

    /** A line that somebody typed. */
    void typed(String line) {
        if (line.strip().equals("q")) {
            control.stop();
        } else {
            control.mark(line.isBlank() ? "mark" : keys.getOrDefault(line.strip(), line.strip()));
        }
        fresh = true;
    }

    void say(String line) {
        synchronized (said) {
            lastWord = line;
            if (inPlace) {
                words.add(line);
                if (words.size() > WORDS) words.removeFirst();
                return;
            }
            unwritten.add(line);
            if (unwritten.size() > MOST_UNWRITTEN) unwritten.removeFirst();
            said.notifyAll();
        }
    }

    private void paint() {
        try {
            long next = System.nanoTime();
            while (!Thread.currentThread().isInterrupted()) {
                write();
                if (live != null && System.nanoTime() - next >= 0) {
                    tick(false);
                    next = System.nanoTime() + PAINT_MILLIS * 1_000_000;
                }
                synchronized (said) {
                    if (unwritten.isEmpty()) said.wait(PAINT_MILLIS);
                }
            }
        } catch (InterruptedException over) {
            // The last picture is painted by whoever ends the view.
        }
    }

    /** Writes what was said where there is no screen. */
    private synchronized void write() {
        while (true) {
            String line;
            synchronized (said) {
                line = unwritten.poll();
            }
            if (line == null) return;
            terminal.err().println(line);
        }
    }

    private synchronized void tick(boolean last) {
        RecordStatus s = control.status();
        String word;
        synchronized (said) {
            word = lastWord;
        }
        live.recorder(new RecorderState(s.connected(), s.portShare(), s.lostBlocks(), s.gaps(), word,
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
        List<String> newest;
        synchronized (said) {
            newest = List.copyOf(words);
        }
        for (String word : newest) lines.add(word.length() > style.columns() ? word.substring(0, style.columns()) : word);
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
        painter.interrupt();
        write();
        if (live == null) return;
        live.finish();
        tick(true);
    }

    @Override
    public void close() throws IOException {
        painter.interrupt();
        write();
        if (live != null) live.close();
    }
}
