package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The header words of our own two forms: tick, unit, start, line and note. Filled line by line. */
final class LogHeader {
    static final String MAGIC = "buswitness-log";
    static final int MOST_LINES = 4096;
    private static final int MOST_NOTES = 1000;
    private static final Pattern TICK = Pattern.compile("([0-9.]+)(?:\\s*/\\s*([0-9.]+))?\\s*(\\S+)");
    private static final Pattern LINE = Pattern.compile("(.*?)\\s*,\\s*idle\\s+([01])");

    double tickPicos = Double.NaN;
    TimeUnit unit = TimeUnit.US;
    String start = "0";
    final List<String> lines = new ArrayList<>();
    /** Per line: level held at the start, or -1 where the first entry tells. */
    final List<Integer> idle = new ArrayList<>();
    final List<String> notes = new ArrayList<>();

    /** Takes one {@code word: value} line. @return true where it was the last one, {@code changes:} */
    boolean take(String text, Place place) {
        int colon = text.indexOf(':');
        String word = colon < 0 ? text : text.substring(0, colon);
        String value = colon < 0 ? "" : text.substring(colon + 1).strip();
        switch (colon < 0 ? "" : word.strip()) {
            case "tick" -> tickPicos = tick(value, place);
            case "unit" -> unit = unit(value, place);
            case "start" -> start = value;
            case "line" -> line(value, place);
            case "note" -> {
                if (notes.size() < MOST_NOTES) notes.add(value);
            }
            case "changes" -> {
                return true;
            }
            default -> throw new InputFault(place, "the header has no word \"" + clip(word) + "\"",
                    "use tick:, unit:, start:, line: and note:, then changes: before the first change");
        }
        return false;
    }

    private void line(String value, Place place) {
        Matcher withIdle = LINE.matcher(value);
        boolean matches = withIdle.matches();
        String name = matches ? withIdle.group(1) : value;
        if (name.isEmpty()) throw new InputFault(place, "the line has no name", "write line: bus");
        if (lines.contains(name)) {
            throw new InputFault(place, "two lines are named \"" + clip(name) + "\"", "give each its own name");
        }
        if (lines.size() == MOST_LINES) {
            throw new InputFault(place, "more than " + MOST_LINES + " lines", "keep the lines that matter");
        }
        lines.add(name);
        idle.add(matches ? Integer.parseInt(withIdle.group(2)) : -1);
    }

    private static TimeUnit unit(String value, Place place) {
        TimeUnit unit = TimeUnit.of(value);
        if (unit == null) {
            throw new InputFault(place, "\"" + clip(value) + "\" is no unit of time", "use " + TimeUnit.CHOICE);
        }
        return unit;
    }

    /** {@code 1 us}, {@code 13888.9 ps}, {@code 125000/9 ps} or the counter's frequency, {@code 72 MHz}. */
    static double tick(String value, Place place) {
        Matcher m = TICK.matcher(value);
        double picos = Double.NaN;
        if (m.matches()) {
            try {
                double number = Double.parseDouble(m.group(1));
                if (m.group(2) != null) number /= Double.parseDouble(m.group(2));
                TimeUnit unit = TimeUnit.of(m.group(3));
                double hertz = switch (m.group(3)) {
                    case "Hz" -> 1;
                    case "kHz" -> 1e3;
                    case "MHz" -> 1e6;
                    default -> Double.NaN;
                };
                picos = unit != null ? number * unit.picos : 1e12 / (number * hertz);
            } catch (NumberFormatException e) {
                picos = Double.NaN;
            }
        }
        if (Double.isNaN(picos)) {
            throw new InputFault(place, "the tick \"" + clip(value) + "\" is not a time such as 1 us or 72 MHz",
                    "write how finely the recorder looks, for example tick: 1 us");
        }
        return sensible(picos, place);
    }

    private static String seconds(double picos) {
        return Double.isFinite(picos) ? BigDecimal.valueOf(picos).movePointLeft(12).stripTrailingZeros().toPlainString() : "" + picos;
    }

    /** A tick must be able to time a bus at all: over 0 and at most a second. */
    static double sensible(double picos, Place place) {
        if (!(picos > 0) || picos > 1e12) {
            throw new InputFault(place, "the tick of " + seconds(picos) + " s cannot be true",
                    "write how finely the recorder looks: more than 0, at most 1 s");
        }
        return picos;
    }

    void complete(Place place) {
        if (Double.isNaN(tickPicos)) {
            throw new InputFault(place, "the header does not say the tick", "add a line such as tick: 1 us");
        }
        if (lines.isEmpty()) {
            lines.add("bus");
            idle.add(-1);
        }
    }

    /** Header lines that {@link #take} reads back to the same values. */
    static List<String> format(RecordingInfo info) {
        if (info.lines().size() > MOST_LINES) {
            throw new InputFault(Place.file(info.source()), "holds " + info.lines().size()
                    + " lines; this form carries " + MOST_LINES, "keep the lines that matter");
        }
        List<String> out = new ArrayList<>();
        out.add("tick: " + tickText(info.tickPicos()));
        for (String name : lineNames(info.lines())) {
            out.add("line: " + (LINE.matcher(name).matches() ? name.replace(',', ';') : name));
        }
        info.notes().stream().limit(MOST_NOTES).forEach(note -> out.add("note: " + clip(singleLine(note), 500)));
        return out;
    }

    /** Names as a header can carry them: one line of text each, none empty, none twice. */
    static List<String> lineNames(List<String> names) {
        List<String> out = new ArrayList<>();
        Set<String> taken = new HashSet<>();
        for (int i = 0; i < names.size(); i++) {
            String name = singleLine(names.get(i));
            if (name.isEmpty()) name = "line " + (i + 1);
            out.add(taken.add(name) ? name : name + " (" + (i + 1) + ")");
        }
        return out;
    }

    /** Shortest text that reads back to the same double. */
    static String tickText(double picos) {
        for (TimeUnit unit : TimeUnit.values()) {
            if (picos >= unit.picos && picos % unit.picos == 0) {
                return BigDecimal.valueOf(picos / unit.picos).stripTrailingZeros().toPlainString() + " " + unit.word();
            }
        }
        return BigDecimal.valueOf(picos).toPlainString() + " ps";
    }

    /** Line breaks and other control characters would end the entry early. */
    static String singleLine(String text) {
        return text.replaceAll("\\p{Cntrl}", " ").strip();
    }

    static String clip(String text) {
        return clip(text, 40);
    }

    static String clip(String text, int most) {
        return text.length() <= most ? text : text.substring(0, most) + "...";
    }
}
