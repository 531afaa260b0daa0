package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** Settles which line of several is meant. */
final class LineChoice {
    private static final int SHOWN = 12;

    private LineChoice() {}

    /** A full name, a name without its scopes where only one fits, or a number from 1. */
    static int named(String wanted, Form form, String source) {
        List<String> lines = form.header().lines();
        int exact = lines.indexOf(wanted);
        if (exact >= 0) return exact;
        Integer alias = form.aliases().get(wanted);
        if (alias != null) return alias;
        String reason = reason(wanted, form.refused());
        List<Integer> fits = new ArrayList<>();
        for (int i = 0; i < lines.size(); i++) {
            if (tail(lines.get(i)).equalsIgnoreCase(wanted) || lines.get(i).equalsIgnoreCase(wanted)) fits.add(i);
        }
        if (fits.size() == 1) return fits.get(0);
        if (reason != null) {
            throw new InputFault(Place.file(source), "\"" + LogHeader.clip(wanted) + "\" cannot be read: " + reason,
                    "name one of its single wires: " + listed(lines));
        }
        if (fits.isEmpty() && wanted.matches("[0-9]{1,6}")) {
            int number = Integer.parseInt(wanted);
            if (number >= 1 && number <= lines.size()) return number - 1;
        }
        throw new InputFault(Place.file(source), (fits.isEmpty() ? "no line is named \"" : "several lines are named \"")
                + LogHeader.clip(wanted) + "\"", "name one of: " + listed(lines));
    }

    private static String reason(String wanted, Map<String, String> refused) {
        for (Map.Entry<String, String> entry : refused.entrySet()) {
            if (entry.getKey().equals(wanted) || tail(entry.getKey()).equals(wanted)) return entry.getValue();
        }
        return null;
    }

    private static String tail(String name) {
        return name.substring(name.lastIndexOf('.') + 1);
    }

    private static String listed(List<String> names) {
        String shown = String.join(", ", names.subList(0, Math.min(SHOWN, names.size())));
        return names.size() <= SHOWN ? shown : shown + " and " + (names.size() - SHOWN) + " more";
    }

    /** Counts each line's changes. */
    static final class Counter implements EdgeSink {
        private final long[] changes;

        Counter(int lines) {
            changes = new long[lines];
        }

        @Override
        public void begin(int line, long atPicos, int level) {}

        @Override
        public void edges(EdgeBlock block) {
            changes[block.line] += block.count;
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {}

        @Override
        public void end(long atPicos) {}

        int only(List<String> names, String source) {
            List<String> moving = new ArrayList<>();
            int found = -1;
            for (int i = 0; i < changes.length; i++) {
                if (changes[i] == 0) continue;
                found = i;
                moving.add(names.get(i) + " (" + changes[i] + " changes)");
            }
            if (moving.size() == 1) return found;
            throw new InputFault(Place.file(source), moving.size() + " lines move: " + listed(moving),
                    "say which one is the bus with --line NAME");
        }
    }
}
