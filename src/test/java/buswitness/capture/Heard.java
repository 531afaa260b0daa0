package buswitness.capture;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.TreeMap;

/** Writes down what a sink is told, line by line, and checks on the way what {@link EdgeSink} promises. */
final class Heard implements EdgeSink {
    private final TreeMap<Integer, List<String>> perLine = new TreeMap<>();
    private final TreeMap<Integer, long[]> state = new TreeMap<>();
    private final List<String> common = new ArrayList<>();
    private final boolean reasons;
    private long sure = -1;
    long changes;

    /** @param reasons keep the reasons of gaps, which VCD and CSV do not carry */
    Heard(boolean reasons) {
        this.reasons = reasons;
    }

    private List<String> of(int line) {
        return perLine.computeIfAbsent(line, x -> new ArrayList<>());
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        if (state.put(line, new long[] {atPicos, level}) != null) throw new AssertionError("begun twice");
        of(line).add("begin " + atPicos + " " + level);
    }

    @Override
    public void edges(EdgeBlock block) {
        long[] s = state.get(block.line);
        if (s == null) throw new AssertionError("changes before begin");
        for (int i = 0; i < block.count; i++) {
            long at = block.atPicos[i];
            if (at <= s[0]) throw new AssertionError("time does not increase: " + at + " after " + s[0]);
            if (at < sure) throw new AssertionError("change at " + at + " after upTo " + sure);
            if (block.level[i] == s[1]) throw new AssertionError("level repeats at " + at);
            s[0] = at;
            s[1] = block.level[i];
            changes++;
            of(block.line).add(at + " " + block.level[i]);
        }
    }

    @Override
    public void gap(int line, long from, long until, String why) {
        if (until <= from) throw new AssertionError("empty gap");
        String text = String.format(Locale.ROOT, "gap %d %d%s", from, until, reasons ? " " + why : "");
        if (line >= 0) of(line).add(text);
        else if (state.isEmpty()) common.add(text);
        if (line < 0) state.keySet().forEach(watched -> of(watched).add(text));
        if (line < 0) state.clear();
        else state.remove(line);
    }

    @Override
    public void mark(long at, String label) {
        common.add("mark " + at + " " + label);
    }

    @Override
    public void upTo(long at) {
        if (at < sure) throw new AssertionError("upTo goes back");
        sure = at;
    }

    @Override
    public void end(long at) {
        common.add("end " + at);
    }

    /** Line by line; a gap of every line told at once reads as if told of each that was being watched. */
    List<String> lines(int count) {
        List<String> out = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            for (String s : of(i)) out.add(i + ": " + s);
        }
        out.addAll(common);
        return out;
    }

    /** Fails at the first difference, without printing thousands of lines. */
    static void alike(List<String> expected, List<String> actual, Object what) {
        for (int i = 0; i < Math.min(expected.size(), actual.size()); i++) {
            if (!expected.get(i).equals(actual.get(i))) {
                throw new AssertionError(what + ": entry " + i + " is " + actual.get(i) + ", not " + expected.get(i));
            }
        }
        if (expected.size() != actual.size()) {
            throw new AssertionError(what + ": " + actual.size() + " entries, not " + expected.size());
        }
    }

    @Override
    public String toString() {
        return perLine + " " + common;
    }
}
