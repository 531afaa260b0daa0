package buswitness.map;

import java.util.List;

/**
 * Messages that fall silent together and come back together while others go on.
 *
 * @param keys  two at least
 * @param spans when
 * @param times whole silences shared
 */
public record Together(List<Long> keys, List<Span> spans, int times) {
    public Together {
        keys = List.copyOf(keys);
        spans = List.copyOf(spans);
    }
}
