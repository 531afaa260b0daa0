package buswitness.schema;

import java.util.Map;

/** Writes words and entries as YAML that {@link YamlDocument} reads back as they were. */
public final class YamlText {
    private static final int MOST_COLUMNS = 110;

    private YamlText() {}

    /** A name or phrase, in quotes where YAML would read it as something else. */
    public static String word(String text) {
        boolean plain = text.matches("[\\p{L}\\p{N}°µ][\\p{L}\\p{N} _./()°µ²³+-]*") && !text.endsWith(" ")
                && !text.matches("(?i)true|false|null|yes|no|[-+.]?[0-9][0-9a-fA-FxXoO_.+-]*|0x.*")
                || text.matches("0x[0-9A-F]{3,8}");
        if (plain) return text;
        StringBuilder out = new StringBuilder("\"");
        text.codePoints().forEach(c -> {
            if (c == '"' || c == '\\') out.append('\\').appendCodePoint(c);
            else if (c < 0x20 || c >= 0x7F && c < 0xA0 || c == 0xFEFF || c >= 0xD800 && c < 0xE000 || c == 0x2028
                    || c == 0x2029 || c >= 0xFFFE && c <= 0xFFFF) out.append(String.format("\\u%04X", c));
            else out.appendCodePoint(c);
        });
        return out.append('"').toString();
    }

    /** {@code key: value} for a flow map; a value is finished text or a {@code Map} of such. */
    static String flow(String key, Object value) {
        return word(key) + ": " + flow(value);
    }

    private static String flow(Object value) {
        if (!(value instanceof Map<?, ?> map)) return (String) value;
        StringBuilder out = new StringBuilder("{");
        map.forEach((k, v) -> out.append(out.length() > 1 ? ", " : "").append(flow((String) k, v)));
        return out.append('}').toString();
    }

    /** The entry as lines of a block map, each ended by a line feed; a short map of plain values stays on one line. */
    public static String block(int indent, String key, Object value) {
        String head = " ".repeat(indent) + word(key) + ":";
        if (!(value instanceof Map<?, ?> map)) return head + " " + value + "\n";
        boolean flat = map.values().stream().noneMatch(v -> v instanceof Map<?, ?> inner && inner.values().stream()
                .anyMatch(w -> w instanceof Map));
        boolean leaves = map.values().stream().noneMatch(Map.class::isInstance) || indent >= 6;
        String line = head + " " + flow(map) + "\n";
        if (flat && leaves && line.length() <= MOST_COLUMNS) return line;
        StringBuilder out = new StringBuilder(head).append('\n');
        map.forEach((k, v) -> out.append(block(indent + 2, (String) k, v)));
        return out.toString();
    }
}
