package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.nio.charset.StandardCharsets;

/** Walks the lines of a text in place: {@code window.bytes} holds the current one from {@link #from} to {@link #to}. */
final class TextLines {
    final ByteWindow window;
    int from;
    int to;
    /** Number of the current line, from 1. */
    long number;
    /** The current line ended with a line feed; the last one of a file cut short does not. */
    boolean whole;

    TextLines(ByteWindow window) {
        this.window = window;
        if (window.need(3) && window.bytes[0] == (byte) 0xEF && window.bytes[1] == (byte) 0xBB
                && window.bytes[2] == (byte) 0xBF) {
            window.pos += 3;                            // byte order mark of UTF-8
        }
    }

    /** @return false after the last line */
    boolean next() {
        int i = window.pos;
        for (;;) {
            byte[] b = window.bytes;
            int limit = window.limit;
            while (i < limit && b[i] != '\n') i++;
            if (i < limit) break;
            int scanned = i - window.pos;
            if (!window.fill()) {
                if (scanned >= ByteWindow.LARGEST) throw tooLong();
                if (scanned == 0) return false;
                take(window.limit, window.limit, false);
                return true;
            }
            i = window.pos + scanned;
        }
        take(i, i + 1, true);
        return true;
    }

    private void take(int end, int nextPos, boolean complete) {
        from = window.pos;
        to = end > from && window.bytes[end - 1] == '\r' ? end - 1 : end;
        window.pos = nextPos;
        whole = complete;
        number++;
    }

    String text() {
        return text(from, to);
    }

    String text(int start, int end) {
        return new String(window.bytes, start, end - start, StandardCharsets.UTF_8);
    }

    boolean blank() {
        for (int i = from; i < to; i++) {
            if (window.bytes[i] != ' ' && window.bytes[i] != '\t') return false;
        }
        return true;
    }

    /** Where an index into the window's bytes sits, for a message. */
    Place place(int index) {
        return Place.text(window.name(), lineNumber(), index - from + 1);
    }

    Place place() {
        return Place.text(window.name(), lineNumber(), -1);
    }

    int lineNumber() {
        return (int) Math.min(number, Integer.MAX_VALUE);
    }

    private InputFault tooLong() {
        return new InputFault(Place.text(window.name(), (int) Math.min(number + 1, Integer.MAX_VALUE), -1),
                "a line runs on for more than 4 million bytes", "check that this is a recording");
    }
}
