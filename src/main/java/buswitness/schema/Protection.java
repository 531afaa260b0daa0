package buswitness.schema;

import java.util.List;

/**
 * A function that protects, such as one that stops an engine without oil pressure.
 *
 * @param node         the node it lives in
 * @param watch        the signal it watches and when it acts, written as a lamp; null where it has a wire of its own
 * @param wire         what that wire comes from, empty where it watches a signal
 * @param does         what it does, in a few words
 * @param afterSeconds how long its condition must hold first; 0 for at once
 * @param standsInFor  instruments whose warning it can take the place of, by name; they may stand in another layout
 */
public record Protection(String name, String node, Lamp watch, String wire, String does, double afterSeconds,
                         List<String> standsInFor) {
    public Protection {
        standsInFor = List.copyOf(standsInFor);
    }
}
