package buswitness.plan;

import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** The meaning of a piece of YAML as one text, so that a comment or another indentation changes no sum. */
final class Canonical {
    private Canonical() {}

    /** SHA-256 of the canonical text, lower-case hexadecimal. */
    static String digest(YamlMap map) {
        StringBuilder out = new StringBuilder();
        write(map, out);
        return sha256(out.toString().getBytes(StandardCharsets.UTF_8));
    }

    static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }

    private static void write(YamlMap map, StringBuilder out) {
        out.append('{');
        for (String key : map.keys()) {
            text(key, out);
            out.append(':');
            write(map.get(key), out);
        }
        out.append('}');
    }

    private static void write(YamlValue value, StringBuilder out) {
        if (value.isMap()) {
            write(value.map(), out);
        } else if (value.isList()) {
            out.append('[');
            for (YamlValue entry : value.list()) write(entry, out);
            out.append(']');
        } else {
            text(value.isEmpty() ? "" : value.text(), out);
        }
    }

    /** Length in front, so that no text can pose as structure. */
    private static void text(String text, StringBuilder out) {
        out.append(text.length()).append('"').append(text).append('"');
    }
}
