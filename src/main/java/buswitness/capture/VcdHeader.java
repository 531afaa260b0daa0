package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/**
 * The declarations of a VCD, IEEE 1364-2005 clause 18.2: time scale, scopes, variables. Single-bit variables become
 * lines, named from the innermost scope that holds them all; everything else is kept with the reason why it cannot.
 */
final class VcdHeader {
    private static final Set<String> SECTIONS = Set.of("$date", "$version", "$comment", "$timescale", "$scope",
            "$upscope", "$var", "$enddefinitions");
    private static final Map<String, Integer> EXPONENT_FROM_FEMTO =
            Map.of("s", 15, "ms", 12, "us", 9, "ns", 6, "ps", 3, "fs", 0);

    /** Femtoseconds in one step of {@code #time}. */
    long scaleFemtos = -1;
    /** What our own writer says of the recorder's tick, which may be coarser than the time scale. */
    double tickPicos = Double.NaN;
    final List<String> names = new ArrayList<>();
    final List<String> notes = new ArrayList<>();
    final Map<String, String> refused = new TreeMap<>();
    /** Identifier code to line, or to {@link #NOT_A_LINE}. */
    final Map<String, Integer> lineOfCode = new HashMap<>();
    /** Every full name, aliases included, to its line. */
    final Map<String, Integer> lineOfFullName = new LinkedHashMap<>();
    static final int NOT_A_LINE = -1;

    private final Deque<String> scopes = new ArrayDeque<>();
    private final List<List<String>> scopesOfLine = new ArrayList<>();
    private final List<String> references = new ArrayList<>();

    /** @return whether the bytes begin as a VCD does */
    static boolean startsWith(String head) {
        String text = head.stripLeading();
        return SECTIONS.stream().anyMatch(s -> text.startsWith(s)
                && (text.length() == s.length() || Character.isWhitespace(text.charAt(s.length()))));
    }

    static VcdHeader read(VcdTokens tokens) {
        VcdHeader header = new VcdHeader();
        while (tokens.next()) {
            if (header.section(tokens)) {
                header.complete(tokens.place());
                return header;
            }
        }
        throw new InputFault(tokens.place(), "the declarations never reach $enddefinitions",
                "check that the file is whole");
    }

    private boolean section(VcdTokens tokens) {
        Place place = tokens.place();
        String word = tokens.text();
        switch (word) {
            case "$timescale" -> scale(String.join("", tokens.untilEnd()), place);
            case "$scope" -> {
                List<String> words = tokens.untilEnd();
                scopes.addLast(words.isEmpty() ? "?" : words.get(words.size() - 1));
            }
            case "$upscope" -> {
                tokens.untilEnd();
                if (scopes.pollLast() == null) {
                    throw new InputFault(place, "$upscope without a scope", "check the declarations above it");
                }
            }
            case "$var" -> variable(tokens.untilEnd(), place);
            case "$comment" -> comment(tokens.rawUntilEnd(), place);
            case "$enddefinitions" -> {
                tokens.untilEnd();
                return true;
            }
            default -> {
                if (!word.startsWith("$")) {
                    throw new InputFault(place, "\"" + LogHeader.clip(word) + "\" stands among the declarations",
                            "check that $enddefinitions comes before the first value");
                }
                tokens.rawUntilEnd();
            }
        }
        return false;
    }

    private void comment(String text, Place place) {
        if (text.startsWith("tick: ")) {
            tickPicos = LogHeader.tick(text.substring(6), place);
        } else if (!text.isEmpty() && notes.size() < 1000) {
            notes.add(LogHeader.singleLine(text.startsWith("note: ") ? text.substring(6) : text));
        }
    }

    private void scale(String text, Place place) {
        int digits = 0;
        while (digits < text.length() && Character.isDigit(text.charAt(digits))) digits++;
        String number = text.substring(0, digits);
        Integer exponent = EXPONENT_FROM_FEMTO.get(text.substring(digits));
        if (exponent == null || !Set.of("1", "10", "100").contains(number)) {
            throw new InputFault(place, "the time scale \"" + LogHeader.clip(text) + "\" is not one of 1, 10 or 100 "
                    + "with s, ms, us, ns, ps or fs", "correct $timescale");
        }
        scaleFemtos = Long.parseLong(number);
        for (int i = 0; i < exponent; i++) scaleFemtos *= 10;
    }

    private void variable(List<String> words, Place place) {
        if (words.size() < 4) {
            throw new InputFault(place, "$var needs type, size, code and name", "correct the declaration");
        }
        String type = words.get(0);
        String code = words.get(2);
        String reference = String.join("", words.subList(3, words.size()));
        List<String> inside = List.copyOf(scopes);
        String full = String.join(".", inside) + (inside.isEmpty() ? "" : ".") + reference;
        String why = reasonAgainst(type, words.get(1));
        if (why != null) {
            refused.putIfAbsent(full, why);
            lineOfCode.putIfAbsent(code, NOT_A_LINE);
            return;
        }
        Integer known = lineOfCode.get(code);
        if (known == null || known == NOT_A_LINE) {
            known = references.size();
            lineOfCode.put(code, known);
            references.add(reference);
            scopesOfLine.add(inside);
        }
        lineOfFullName.put(full, known);
    }

    private static String reasonAgainst(String type, String size) {
        if (type.equals("real") || type.equals("realtime")) return "it holds real numbers, not one wire's 0 and 1";
        if (type.equals("event")) return "it is an event, which has no level";
        if (type.equals("parameter")) return "it is a constant";
        return size.equals("1") ? null : "it is a vector of " + LogHeader.clip(size) + " bits, not one wire; export "
                + "the single bit that carries the bus";
    }

    private void complete(Place place) {
        if (scaleFemtos < 0) {
            throw new InputFault(place, "$timescale is missing", "add a line such as $timescale 1 us $end");
        }
        if (references.isEmpty()) {
            String why = refused.isEmpty() ? "it declares no variable" : "no variable is a single wire: "
                    + refused.keySet().iterator().next() + " is none because "
                    + refused.values().iterator().next();
            throw new InputFault(place, why, "export the line that carries the bus as one bit");
        }
        int shared = sharedScopes();
        Set<String> taken = new HashSet<>();
        for (int i = 0; i < references.size(); i++) {
            List<String> inside = scopesOfLine.get(i);
            String prefix = String.join(".", inside.subList(shared, inside.size()));
            String name = prefix.isEmpty() ? references.get(i) : prefix + "." + references.get(i);
            names.add(taken.add(name) ? name : name + " (" + (i + 1) + ")");
        }
    }

    /** How many outer scopes all lines share; their names tell nothing apart. */
    private int sharedScopes() {
        List<String> common = scopesOfLine.get(0);
        for (List<String> inside : scopesOfLine) {
            int same = 0;
            while (same < Math.min(common.size(), inside.size()) && common.get(same).equals(inside.get(same))) same++;
            common = common.subList(0, same);
        }
        return common.size();
    }
}
