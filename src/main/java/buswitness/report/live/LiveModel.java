package buswitness.report.live;

import buswitness.report.parts.Sentence;
import gg.jte.Content;
import java.util.List;

/**
 * What the live page's template fills in.
 *
 * @param policy content security policy
 * @param file   name of the recording
 * @param keys   that set marks
 */
public record LiveModel(String policy, Content style, Content script, Sentence file, List<Sentence> cautions,
                        List<Key> keys) {

    /** A letter or digit and the mark that it sets. */
    public record Key(String key, String label) {}
}
