package buswitness.schema;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The kinds of document that users write, told apart by their first level, so that a file in the wrong place is named. */
public enum DocumentKind {
    PLAN("a plan", "a plan goes to 'check', and what it names as 'layout:' is the layout", "plan", "steps"),
    DEEDS("a list of what was done", "it goes to 'map' with --done", "done"),
    SCENARIO("a scenario", "a scenario goes to 'simulate', which makes a recording of it", "duration", "recorder", "schedule",
            "interference", "misreads", "values"),
    COLUMNS("a description of a table's columns", "it goes beside the table, with --columns", "id", "time", "data",
            "separator"),
    LAYOUT("a layout", "a layout goes to 'predict' or 'check --new', or beside a recording, with --layout", "messages",
            "instruments", "wires", "protections", "bus");

    private static final Pattern KEY = Pattern.compile("(?m)^([a-z][a-z ]*?)\\s*:(?:\\s|$)");
    private static final List<String> RECORDING_STARTS = List.of("buswitness-log", "$date", "$version", "$timescale", "$comment",
            "$scope");

    private final String text;
    private final String toDo;
    private final Set<String> signs;

    DocumentKind(String text, String toDo, String... signs) {
        this.text = text;
        this.toDo = toDo;
        this.signs = Set.copyOf(Arrays.asList(signs));
    }

    /** @return {@code root} @throws InputFault where the document is plainly of another kind */
    public YamlMap need(YamlMap root) {
        DocumentKind found = of(root.keys());
        if (found != null && found != this) throw root.fault("is " + found.text + ", and " + text + " is needed here", found.toDo);
        return root;
    }

    private static DocumentKind of(Set<String> keys) {
        for (DocumentKind kind : values()) if (keys.stream().anyMatch(kind.signs::contains)) return kind;
        return null;
    }

    /** A fault where the beginning of a would-be recording is one of these documents, else null. */
    public static InputFault insteadOfRecording(String head, String source) {
        String start = head.stripLeading();
        if (start.startsWith("{")) {
            return new InputFault(Place.file(source), "is JSON, and a recording is needed here", "name the recording itself");
        }
        if (start.startsWith("<")) {
            return new InputFault(Place.file(source), "is a page, and a recording is needed here", "name the recording itself");
        }
        Set<String> keys = new TreeSet<>();
        Matcher m = KEY.matcher(head);
        while (m.find()) keys.add(m.group(1));
        String first = head.lines().map(String::strip).filter(l -> !l.isEmpty() && !l.startsWith("#")).findFirst().orElse("");
        DocumentKind found = KEY.matcher(first).lookingAt() ? of(keys) : null;
        return found == null ? null : new InputFault(Place.file(source), "is " + found.text
                + ", and a recording is needed here", found.toDo);
    }

    /** A fault where a would-be document is a recording or another result, else null. */
    static InputFault insteadOfDocument(byte[] bytes, String source) {
        boolean packed = bytes.length > 1 && (bytes[0] == 0x1F && (bytes[1] & 0xFF) == 0x8B || bytes[0] == 'P' && bytes[1] == 'K');
        // The first bytes of a compact recording, captures/README.md.
        boolean compact = bytes.length > 3 && (bytes[0] & 0xFF) == 0xC2 && bytes[1] == 'W' && bytes[2] == 'I' && bytes[3] == 'T';
        String head = new String(bytes, 0, Math.min(bytes.length, 64), java.nio.charset.StandardCharsets.UTF_8).stripLeading();
        String what = packed ? "is a packed file, such as a recording" : compact
                || RECORDING_STARTS.stream().anyMatch(head::startsWith) ? "is a recording"
                : head.startsWith("{\"") ? "is JSON, such as evidence or a finding" : head.startsWith("<!doctype") ? "is a page"
                : null;
        return what == null ? null : new InputFault(Place.file(source), what + ", and a text such as a layout or a plan is needed"
                + " here", "look at the order of the files; './buswitness --help' tells what takes which");
    }
}
