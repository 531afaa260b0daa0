package buswitness.schema;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import org.snakeyaml.engine.v2.nodes.Tag;

/** A word, number, list or map of a {@link YamlDocument}, with its place. Accessors throw an {@link InputFault}. */
public final class YamlValue {
    private static final String DECIMAL = "[-+]?(?:\\d+(?:\\.\\d+)?|\\.\\d+)(?:[eE][-+]?\\d+)?";
    private static final String NUMBER = "[-+]?0x[0-9a-fA-F]+|0o[0-7]+|" + DECIMAL;
    private static final Pattern ONE_NUMBER = Pattern.compile(NUMBER);
    private static final Pattern WITH_UNIT = Pattern.compile("(" + DECIMAL + ")\\s*(\\S.*)?");
    private static final Pattern RANGE_WITH_UNIT =
            Pattern.compile("(" + DECIMAL + ")\\s*\\.\\.\\s*(" + DECIMAL + ")\\s*(\\S.*)?");
    private static final Pattern RANGE = Pattern.compile("(" + NUMBER + ")\\s*\\.\\.\\s*(" + NUMBER + ")");

    private final Node node;
    private final String source;
    private final Place place;

    YamlValue(Node node, String source) {
        this.node = node;
        this.source = source;
        this.place = YamlDocument.place(node.getStartMark(), source);
    }

    /** Two ends of {@code 0..7}, both inside; {@code from <= until}. */
    public record Range(double from, double until) {}

    public Place place() {
        return place;
    }

    public boolean isMap() {
        return node instanceof MappingNode;
    }

    public boolean isList() {
        return node instanceof SequenceNode;
    }

    public boolean isText() {
        return node instanceof ScalarNode && !isEmpty();
    }

    /** Nothing after the colon, or {@code null}. */
    public boolean isEmpty() {
        return node instanceof ScalarNode scalar && scalar.getTag().equals(Tag.NULL);
    }

    /** A map; nothing after the colon counts as an empty one. */
    public YamlMap map() {
        if (node instanceof MappingNode map) return new YamlMap(map, source);
        if (isEmpty()) return new YamlMap(place);
        throw fault("a map (lines of 'name: value', or {name: value}) is needed here, not " + kind(),
                "write it as a map");
    }

    public List<YamlValue> list() {
        if (!(node instanceof SequenceNode list)) {
            throw fault("a list is needed here, not " + kind(), "write it as [one, two] or as lines that begin with -");
        }
        List<YamlValue> out = new ArrayList<>();
        for (Node entry : list.getValue()) out.add(new YamlValue(entry, source));
        return out;
    }

    /** A list, or one value that stands for a list of one. */
    public List<YamlValue> oneOrMore() {
        return isList() ? list() : List.of(this);
    }

    /** The characters as written, numbers included, quotes taken off. */
    public String text() {
        if (node instanceof ScalarNode scalar && !isEmpty()) return scalar.getValue();
        throw fault("a word or phrase is needed here, not " + kind(), "write it behind the colon");
    }

    /** One of a few words. */
    public String oneOf(String... words) {
        String text = text();
        List<String> known = Arrays.asList(words);
        if (!known.contains(text)) throw unknown("word", known);
        return text;
    }

    /** {@code true} or {@code false}; {@code yes} and {@code no} are understood too. */
    public boolean flag() {
        String text = text();
        if (text.equals("true") || text.equals("yes")) return true;
        if (text.equals("false") || text.equals("no")) return false;
        throw fault("'" + text + "' is neither true nor false", "write true or false");
    }

    /** Any finite number. */
    public double number() {
        String text = text();
        if (!ONE_NUMBER.matcher(text).matches() || !plain()) {
            throw fault("'" + text + "' is not a number", "write a number such as 0.5");
        }
        return finite(parse(text));
    }

    public double number(double least, double most) {
        double value = number();
        checkBounds(value, least, most, "");
        return value;
    }

    /** A whole number, decimal, {@code 0x} or {@code 0o}. */
    public long whole(long least, long most) {
        String text = text();
        if (!plain() || !text.matches("[-+]?\\d+|[-+]?0x[0-9a-fA-F]+|0o[0-7]+")) {
            throw fault("'" + text + "' is not a whole number", "write a number such as 12 or 0x1F");
        }
        try {
            long value = parseWhole(text);
            if (value < least || value > most) {
                throw fault(text + " is out of range", "use " + least + " to " + most);
            }
            return value;
        } catch (NumberFormatException e) {
            throw fault(text + " is out of range", "use " + least + " to " + most);
        }
    }

    /** A number with its unit, in the quantity's base unit. A zero needs no unit. */
    public double quantity(Quantity quantity) {
        return quantity(quantity, text().strip());
    }

    /** Reads {@code 3 °C per s} like {@code 3 per s}: the unit of the thing itself may be repeated. */
    double quantityOf(String ownUnit, Quantity quantity) {
        String text = text().strip();
        Matcher m = WITH_UNIT.matcher(text);
        boolean repeated = !ownUnit.isEmpty() && m.matches() && m.group(2) != null && m.group(2).startsWith(ownUnit);
        return quantity(quantity, repeated ? m.group(1) + " " + m.group(2).substring(ownUnit.length()) : text);
    }

    private double quantity(Quantity quantity, String text) {
        Matcher m = WITH_UNIT.matcher(text);
        if (!m.matches()) throw fault("'" + text + "' is not a quantity", "write it like " + quantity.example());
        double value = finite(Double.parseDouble(m.group(1)));
        String unit = m.group(2) == null ? "" : m.group(2).strip().replaceAll("\\s+", " ");
        Double factor = quantity.factors().get(unit);
        if (factor != null) return scaled(value, factor);
        if (unit.isEmpty()) {
            if (value == 0) return 0;
            throw fault("'" + text + "' has no unit", "write it like " + quantity.example());
        }
        throw NearestWord.unknown(place, "unit", unit, listed(quantity.factors().keySet()));
    }

    /** Exact where the unit is a power of ten, so that {@code 100 ms} is the same number as {@code 0.1 s}. */
    private static double scaled(double value, double factor) {
        double inverse = Math.rint(1 / factor);
        return factor < 1 && Math.abs(inverse * factor - 1) < 1e-12 ? value / inverse : value * factor;
    }

    public double quantity(Quantity quantity, double least, double most) {
        double value = quantity(quantity);
        String base = quantity.factors().keySet().iterator().next();
        double factor = quantity.factors().get(base);
        if (!(value >= least && value <= most)) {
            throw fault("'" + text() + "' is out of range",
                    "use " + shown(least / factor) + " to " + shown(most / factor) + " " + base);
        }
        return value;
    }

    /** Two ends with one unit, {@code 60..120 per min}, in the quantity's base unit; one quantity is a range of one. */
    public Range quantityRange(Quantity quantity) {
        Matcher m = RANGE_WITH_UNIT.matcher(text().strip());
        if (!m.matches()) {
            double only = quantity(quantity);
            return new Range(only, only);
        }
        String unit = m.group(3) == null ? "" : " " + m.group(3);
        double from = quantity(quantity, m.group(1) + unit);
        double until = quantity(quantity, m.group(2) + unit);
        if (from > until) throw fault("'" + text() + "' runs downwards", "write the smaller end first");
        return new Range(from, until);
    }

    /** {@code 0..7}; a single number stands for a range of one. */
    public Range range() {
        return rangeIn(text().strip());
    }

    /** A range that is part of this value's text. */
    Range rangeIn(String text) {
        Matcher m = RANGE.matcher(text);
        double from;
        double until;
        if (m.matches()) {
            from = finite(parse(m.group(1)));
            until = finite(parse(m.group(2)));
        } else if (ONE_NUMBER.matcher(text).matches()) {
            from = until = finite(parse(text));
        } else {
            throw fault("'" + text + "' is not a range", "write it like 0..7");
        }
        if (from > until) throw fault("'" + text + "' runs downwards", "write the smaller end first");
        return new Range(from, until);
    }

    /** A number that is part of this value's text. */
    double numberIn(String text) {
        if (!ONE_NUMBER.matcher(text).matches()) throw fault("'" + text + "' is not a number", "write a number");
        return finite(parse(text));
    }

    /** A fault at this value. */
    public InputFault fault(String what, String toDo) {
        return new InputFault(place, what, toDo);
    }

    /** A fault that says this word is none of {@code known}, with the nearest of them. */
    public InputFault unknown(String kind, Collection<String> known) {
        return NearestWord.unknown(place, kind, text(), known);
    }

    private boolean plain() {
        return ((ScalarNode) node).isPlain();
    }

    private double finite(double value) {
        if (Double.isNaN(value) || Double.isInfinite(value)) {
            throw fault("'" + text() + "' is out of range", "write a finite number");
        }
        return value;
    }

    private void checkBounds(double value, double least, double most, String unit) {
        if (!(value >= least && value <= most)) {
            throw fault("'" + text() + "' is out of range", "use " + shown(least) + " to " + shown(most) + unit);
        }
    }

    static double parse(String text) {
        if (text.matches("[-+]?0x.*") || text.startsWith("0o")) {
            try {
                return parseWhole(text);
            } catch (NumberFormatException e) {
                return Double.NaN;
            }
        }
        return Double.parseDouble(text);
    }

    private static long parseWhole(String text) {
        boolean minus = text.startsWith("-");
        String digits = minus || text.startsWith("+") ? text.substring(1) : text;
        long value = digits.startsWith("0x") ? Long.parseLong(digits.substring(2), 16)
                : digits.startsWith("0o") ? Long.parseLong(digits.substring(2), 8) : Long.parseLong(digits);
        return minus ? -value : value;
    }

    private static List<String> listed(Collection<String> units) {
        return units.stream().filter(u -> !u.isEmpty() && !u.startsWith("μ")).toList();
    }

    static String shown(double value) {
        return value == Math.rint(value) && Math.abs(value) < 1e15 ? String.format(Locale.ROOT, "%.0f", value)
                : String.valueOf(value);
    }

    private String kind() {
        if (isEmpty()) return "nothing";
        return isMap() ? "a map" : isList() ? "a list" : "'" + ((ScalarNode) node).getValue() + "'";
    }
}
