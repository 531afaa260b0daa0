package buswitness.schema;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;

/**
 * How something in a layout is known: {@code given} by its writer, {@code measured} on a recording, or {@code guessed}
 * from one. Says nothing to the stages that judge; {@code map} writes it, and only changes what is not given.
 */
public enum Known {
    GIVEN("given"), MEASURED("measured"), GUESSED("guessed");

    /** The word in a layout. */
    public static final String WORD = "known";

    private final String text;

    Known(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }

    /**
     * How one word of an entry is known. Without {@code known:} everything there is given.
     *
     * @param body an entry of a layout
     * @param word such as {@code every}
     * @throws buswitness.problem.InputFault where {@code known:} is not understood
     */
    public static Known of(YamlMap body, String word) {
        YamlValue value = body.get(WORD);
        if (value == null) return GIVEN;
        if (!value.isMap()) return of(value);
        YamlMap map = value.map();
        return map.has(word) ? of(map.get(word)) : GIVEN;
    }

    /** Checks {@code known:} of an entry: one word for all of it, or a map that says it word by word. */
    static void check(YamlMap body) {
        YamlValue value = body.get(WORD);
        if (value == null || value.isEmpty()) return;
        if (!value.isMap()) {
            of(value);
            return;
        }
        YamlMap map = value.map();
        Collection<String> words = new ArrayList<>(body.keys());
        words.remove(WORD);
        map.allow(words);
        for (String word : map.keys()) of(map.get(word));
    }

    private static Known of(YamlValue value) {
        for (Known known : values()) if (known.text.equals(value.text())) return known;
        throw value.unknown("word", List.of(GIVEN.text, MEASURED.text, GUESSED.text));
    }
}
