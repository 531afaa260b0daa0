package buswitness.plan;

import java.util.HashSet;
import java.util.Locale;
import java.util.Set;

/** Writes a plan's YAML: every text of a layout in quotes, step names made unique. */
final class DraftText {
    private final StringBuilder out = new StringBuilder();
    private final Set<String> names = new HashSet<>();

    void line(String text) {
        out.append(text).append('\n');
    }

    void item(String text) {
        line("  - " + quoted(text));
    }

    void step(String name, String stage, String todo, String see) {
        String unique = name;
        for (int n = 2; !names.add(unique); n++) unique = name + " " + n;
        line("  " + quoted(unique) + ":");
        line("    stage: " + stage);
        line("    do: " + quoted(todo));
        line("    see: " + quoted(see));
    }

    void caution(String text) {
        line("    caution: " + quoted(text));
    }

    void window(String text) {
        line("    window: " + text);
    }

    void judge(String... entries) {
        line("    judge:");
        for (String e : entries) line("      - " + e);
    }

    /** A plain word stays plain; anything else goes into double quotes, escaped as YAML 1.2, 5.7 has it. */
    static String quoted(String text) {
        if (text.matches("[A-Za-z][A-Za-z0-9 /_.-]*[A-Za-z0-9.]") && !text.matches("(?i)true|false|null|yes|no|on|off")
                && !text.contains(": ")) return text;
        StringBuilder q = new StringBuilder("\"");
        text.codePoints().forEach(c -> {
            if (c == '"' || c == '\\') q.append('\\').appendCodePoint(c);
            else if (Character.isISOControl(c) || c == 0x2028 || c == 0x2029) q.append(String.format(Locale.ROOT, "\\u%04X", c));
            else q.appendCodePoint(c);
        });
        return q.append('"').toString();
    }

    @Override
    public String toString() {
        return out.toString();
    }
}
