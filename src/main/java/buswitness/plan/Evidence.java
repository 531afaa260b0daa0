package buswitness.plan;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * The content of an evidence file whose chain holds.
 *
 * @param chain chain hash of each entry
 */
public record Evidence(Path file, List<Entry> entries, List<String> chain) {
    /** What the first entry is chained to. */
    public static final String BEFORE_ALL = "0".repeat(64);

    public Evidence {
        entries = List.copyOf(entries);
        chain = List.copyOf(chain);
    }

    /** Chain hash of the last entry: the figure to print. */
    public String lastHash() {
        return chain.isEmpty() ? BEFORE_ALL : chain.get(chain.size() - 1);
    }

    /** Serials in the order of their first entry; the empty one for results without a unit. */
    public List<String> serials() {
        List<String> all = new ArrayList<>();
        for (Entry e : entries) {
            String serial = e instanceof Entry.Unit u ? u.serial() : e instanceof Entry.Result r ? r.serial() : null;
            if (serial != null && !all.contains(serial)) all.add(serial);
        }
        return all;
    }
}
