package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;

/** Walks the words of a VCD in place, white space between them, counting lines for messages. */
final class VcdTokens {
    final ByteWindow window;
    int from;
    int to;
    /** The word is followed by white space; the last one of a file cut short is not. */
    boolean whole;
    private long line = 1;

    VcdTokens(ByteWindow window) {
        this.window = window;
    }

    /** @return false after the last word */
    boolean next() {
        int i = window.pos;
        for (;;) {
            byte[] b = window.bytes;
            int limit = window.limit;
            while (i < limit && b[i] >= 0 && b[i] <= ' ') {
                if (b[i] == '\n') line++;
                i++;
            }
            if (i < limit) break;
            window.pos = i;
            if (!window.fill()) return false;
            i = window.pos;
        }
        window.pos = i;
        return scanWord();
    }

    private boolean scanWord() {
        int i = window.pos;
        whole = true;
        for (;;) {
            byte[] b = window.bytes;
            int limit = window.limit;
            while (i < limit && (b[i] > ' ' || b[i] < 0)) i++;
            if (i < limit) break;
            int scanned = i - window.pos;
            if (!window.fill()) {
                if (scanned >= ByteWindow.LARGEST) {
                    throw new InputFault(place(), "a word runs on for more than 4 million bytes",
                            "check that this is a recording");
                }
                i = window.limit;
                whole = false;
                break;
            }
            i = window.pos + scanned;
        }
        from = window.pos;
        to = i;
        window.pos = i;
        return true;
    }

    String text() {
        return new String(window.bytes, from, to - from, StandardCharsets.UTF_8);
    }

    boolean is(String word) {
        if (to - from != word.length()) return false;
        for (int i = 0; i < word.length(); i++) {
            if (window.bytes[from + i] != word.charAt(i)) return false;
        }
        return true;
    }

    /** The words up to {@code $end}. */
    java.util.List<String> untilEnd() {
        java.util.List<String> words = new java.util.ArrayList<>();
        Place start = place();
        while (next()) {
            if (is("$end")) return words;
            if (words.size() < 1000) words.add(text());
        }
        throw new InputFault(start, "a $ section never reaches its $end", "check that the file is whole");
    }

    /** The text up to {@code $end} as written, blanks kept, outer white space stripped; at most 64 kB of it. */
    String rawUntilEnd() {
        Place start = place();
        ByteArrayOutputStream text = new ByteArrayOutputStream();
        int matched = 0;
        String end = "$end";
        for (;;) {
            if (window.pos == window.limit && !window.fill()) {
                throw new InputFault(start, "a $ section never reaches its $end", "check that the file is whole");
            }
            byte b = window.bytes[window.pos++];
            if (b == '\n') line++;
            if (text.size() < 1 << 16) text.write(b);
            matched = b == end.charAt(matched) ? matched + 1 : b == '$' ? 1 : 0;
            if (matched == end.length()) {
                String all = text.toString(StandardCharsets.UTF_8);
                return (all.endsWith(end) ? all.substring(0, all.length() - end.length()) : all).strip();
            }
        }
    }

    Place place() {
        return Place.text(window.name(), (int) Math.min(line, Integer.MAX_VALUE), -1);
    }
}
