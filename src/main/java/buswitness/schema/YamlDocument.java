package buswitness.schema;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.api.lowlevel.Parse;
import org.snakeyaml.engine.v2.events.AliasEvent;
import org.snakeyaml.engine.v2.events.CollectionEndEvent;
import org.snakeyaml.engine.v2.events.CollectionStartEvent;
import org.snakeyaml.engine.v2.events.DocumentStartEvent;
import org.snakeyaml.engine.v2.events.Event;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.ReaderException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import org.snakeyaml.engine.v2.schema.CoreSchema;

/**
 * One YAML 1.2 document of ours (core schema: {@code 0x1F} is a number, {@code yes} and {@code on} are words), read
 * with the position of every word. Walk it through {@link #root()}; every complaint is an {@link InputFault} that names
 * file, line and column. Keys must be single words or phrases and unique in their map.
 *
 * <p>Refused, because no hand-written document needs them and hostile ones live on them: aliases, more than one
 * document, more than {@value #DEEPEST} levels, more than {@value #MOST_NODES} entries, more than
 * {@value #MOST_CHARACTERS} characters.
 */
public final class YamlDocument {
    static final int DEEPEST = 24;
    static final int MOST_NODES = 200_000;
    static final int MOST_CHARACTERS = 4_000_000;

    private final YamlValue root;

    private YamlDocument(YamlValue root) {
        this.root = root;
    }

    /**
     * Reads a file as UTF-8.
     *
     * @throws InputFault where it cannot be read, is not UTF-8, or as {@link #parse} does
     */
    public static YamlDocument load(Path file) {
        String source = file.toString();
        byte[] bytes;
        try {
            if (Files.isDirectory(file)) throw new InputFault(Place.file(source), "is a folder", "name a file");
            if (Files.isRegularFile(file) && Files.size(file) > 4L * MOST_CHARACTERS) throw tooLong(source);
            bytes = Files.readAllBytes(file);
        } catch (NoSuchFileException e) {
            throw new InputFault(Place.file(source), "there is no such file", "check its name and folder");
        } catch (IOException e) {
            throw new InputFault(Place.file(source), "cannot be read (" + e.getMessage() + ")",
                    "check its permissions");
        }
        InputFault other = DocumentKind.insteadOfDocument(bytes, source);
        if (other != null) throw other;
        CharsetDecoder strict = StandardCharsets.UTF_8.newDecoder()
                .onMalformedInput(CodingErrorAction.REPORT).onUnmappableCharacter(CodingErrorAction.REPORT);
        ByteBuffer in = ByteBuffer.wrap(bytes);
        try {
            return parse(strict.decode(in).toString(), source);
        } catch (CharacterCodingException e) {
            throw new InputFault(Place.bytes(source, in.position()), "is not UTF-8 text", "save it as UTF-8");
        }
    }

    /**
     * Reads a text.
     *
     * @param source what errors call it, usually the file's name
     * @throws InputFault on bad YAML, an empty document, a duplicate key, or a breach of the limits above
     */
    public static YamlDocument parse(String text, String source) {
        String bare = text.startsWith("\uFEFF") ? text.substring(1) : text;
        if (bare.codePointCount(0, bare.length()) > MOST_CHARACTERS) throw tooLong(source);
        LoadSettings settings = LoadSettings.builder().setLabel(source).setSchema(new CoreSchema())
                .setCodePointLimit(MOST_CHARACTERS + 1).setAllowNonScalarKeys(true).build();
        try {
            // The event stream is read first: it is flat, so a bomb is seen before anything recurses over it.
            checkLimits(new Parse(settings).parseString(bare), source);
            Optional<Node> node = new Compose(settings).composeString(bare);
            if (node.isEmpty()) throw new InputFault(Place.file(source), "is empty", "see captures/layout-format.md");
            checkKeys(node.get(), source);
            return new YamlDocument(new YamlValue(node.get(), source));
        } catch (MarkedYamlEngineException e) {
            Optional<Mark> mark = e.getProblemMark().isPresent() ? e.getProblemMark() : e.getContextMark();
            throw new InputFault(place(mark, source), "is not valid YAML here (" + plain(e.getProblem()) + ")",
                    "check indentation, colons, quotes and brackets up to this point");
        } catch (ReaderException e) {
            int[] at = lineAndColumn(bare, e.getPosition());
            throw new InputFault(Place.text(source, at[0], at[1]), String.format(java.util.Locale.ROOT,
                    "holds the character U+%04X, which YAML does not allow", e.getCodePoint()), "remove it");
        } catch (YamlEngineException e) {
            throw new InputFault(Place.file(source), "is not valid YAML (" + plain(e.getMessage()) + ")",
                    "check it against the examples in captures/layout-format.md");
        }
    }

    public YamlValue value() {
        return root;
    }

    /** @throws InputFault where the document is not a map */
    public YamlMap root() {
        return root.map();
    }

    private static void checkLimits(Iterable<Event> events, String source) {
        int depth = 0;
        int nodes = 0;
        int documents = 0;
        for (Event event : events) {
            Place at = place(event.getStartMark(), source);
            if (event instanceof DocumentStartEvent && ++documents > 1) {
                throw new InputFault(at, "a second document begins", "keep one document in a file");
            }
            if (event instanceof AliasEvent) {
                throw new InputFault(at, "uses an alias (*)", "write the value out where it is needed");
            }
            if (event instanceof CollectionStartEvent && ++depth > DEEPEST) {
                throw new InputFault(at, "is nested more than " + DEEPEST + " levels deep",
                        "check for a stray bracket or indentation");
            }
            if (event instanceof CollectionEndEvent) depth--;
            if (++nodes > MOST_NODES) {
                throw new InputFault(at, "has more than " + MOST_NODES + " entries", "split the file");
            }
        }
    }

    /** Unique scalar keys everywhere, no tags of one's own. Depth is bounded by {@link #checkLimits}. */
    private static void checkKeys(Node node, String source) {
        if (node instanceof SequenceNode list) {
            for (Node entry : list.getValue()) checkKeys(entry, source);
        } else if (node instanceof MappingNode map) {
            Map<String, Place> seen = new HashMap<>();
            for (NodeTuple tuple : map.getValue()) {
                Place at = place(tuple.getKeyNode().getStartMark(), source);
                if (!(tuple.getKeyNode() instanceof ScalarNode key)) {
                    throw new InputFault(at, "a list or map is used as a name", "use a word or phrase as the name");
                }
                Place first = seen.putIfAbsent(key.getValue(), at);
                if (first != null) {
                    throw new InputFault(at, "'" + key.getValue() + "' stands here a second time (first on line "
                            + first.line() + ")", "keep one of the two");
                }
                checkKeys(tuple.getValueNode(), source);
            }
        }
    }

    static Place place(Optional<Mark> mark, String source) {
        return mark.map(m -> Place.text(source, m.getLine() + 1, m.getColumn() + 1)).orElse(Place.file(source));
    }

    private static int[] lineAndColumn(String text, int codePoints) {
        int line = 1;
        int column = 1;
        int index = 0;
        for (int i = 0; i < codePoints && index < text.length(); i++) {
            int c = text.codePointAt(index);
            index += Character.charCount(c);
            column = c == '\n' ? 1 : column + 1;
            if (c == '\n') line++;
        }
        return new int[] {line, column};
    }

    private static String plain(String problem) {
        return problem == null ? "no details" : problem.strip();
    }

    private static InputFault tooLong(String source) {
        return new InputFault(Place.file(source), "is longer than " + MOST_CHARACTERS + " characters",
                "check that it is the file you meant");
    }
}
