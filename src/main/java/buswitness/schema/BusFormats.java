package buswitness.schema;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/** The buses that need no description, written in the words of captures/bus-format.md. */
public final class BusFormats {
    /** In the order in which a reader meets them. */
    private static final List<String> NAMES = List.of("can", "lin", "j1850-vpw", "j1850-pwm", "iso9141", "iso14230");
    /** CAN FD has fixed stuff bits and two rates, which no format says; its decoder is written by hand. */
    private static final String BY_HAND = "can-fd";

    private BusFormats() {}

    /** Names of all built-in formats. */
    public static List<String> names() {
        return NAMES;
    }

    /** Every name that {@code coding:} may have: the built-in formats and {@code can-fd}. */
    public static List<String> codings() {
        List<String> all = new ArrayList<>(NAMES);
        all.add(1, BY_HAND);
        return List.copyOf(all);
    }

    /** @throws IllegalArgumentException where no format has that name; {@code can-fd} has none */
    public static BusFormat builtIn(String name) {
        if (!NAMES.contains(name)) throw new IllegalArgumentException("no built-in bus format named " + name);
        return BuiltIn.FORMATS.get(name);
    }

    /** Read once, when the first is asked for. */
    private static final class BuiltIn {
        static final Map<String, BusFormat> FORMATS = NAMES.stream().collect(Collectors.toUnmodifiableMap(n -> n, BuiltIn::load));

        private static BusFormat load(String name) {
            String source = "/formats/" + name + ".yaml";
            try (InputStream in = BusFormats.class.getResourceAsStream(source)) {
                return parse(new String(in.readAllBytes(), StandardCharsets.UTF_8), source);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }

    /**
     * Reads a format that stands alone.
     *
     * @param source what errors call the text
     * @throws buswitness.problem.InputFault where the text is no bus format
     */
    public static BusFormat parse(String text, String source) {
        return BusFormatReader.read(YamlDocument.parse(text, source).root());
    }

    /**
     * The format of a bus that was read.
     *
     * @param coding       as the recording or the layout names it
     * @param layoutOrNull whose own format counts first
     * @return null for CAN and CAN FD, and for a coding that nobody describes
     */
    public static BusFormat of(String coding, Layout layoutOrNull) {
        BusFormat own = layoutOrNull == null ? null : layoutOrNull.format();
        if (own != null && own.name().equals(coding)) return own;
        return coding == null || coding.equals("can") || !NAMES.contains(coding) ? null : builtIn(coding);
    }
}
