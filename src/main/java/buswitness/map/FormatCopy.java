package buswitness.map;

import buswitness.schema.YamlDocument;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlText;
import buswitness.schema.YamlValue;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.StringJoiner;

/** The description of a bus of the user's own, copied from the layout by which it was read: no recording can tell it. */
final class FormatCopy {
    private FormatCopy() {}

    /** The words below {@code bus: format:}, ready for {@link YamlText#block}; null where the text describes none. */
    static Map<String, Object> of(String text, String source) {
        YamlMap root = YamlDocument.parse(text, source).root();
        if (!root.has("bus") || !root.get("bus").isMap() || !root.get("bus").map().has("format")) return null;
        return words(root.get("bus").map().get("format").map());
    }

    private static Map<String, Object> words(YamlMap map) {
        Map<String, Object> words = new LinkedHashMap<>();
        for (String key : map.keys()) {
            YamlValue value = map.get(key);
            words.put(key, value.isMap() ? words(value.map()) : flow(value));
        }
        return words;
    }

    private static String flow(YamlValue value) {
        if (value.isMap()) {
            StringJoiner entries = new StringJoiner(", ", "{", "}");
            for (String key : value.map().keys()) entries.add(YamlText.word(key) + ": " + flow(value.map().get(key)));
            return entries.toString();
        }
        if (value.isList()) {
            StringJoiner items = new StringJoiner(", ", "[", "]");
            for (YamlValue item : value.list()) items.add(flow(item));
            return items.toString();
        }
        String text = value.text();
        return text.matches("-?[\\p{L}\\p{N}][\\p{L}\\p{N}_.+/-]*") ? text : YamlText.word(text);
    }
}
