package buswitness.simulate;

import java.util.SplittableRandom;

/** A random stream for each purpose, so that adding a node or a message leaves all others as they were. */
final class Streams {
    private Streams() {}

    static SplittableRandom of(long seed, String... purpose) {
        return new SplittableRandom(key(seed, purpose));
    }

    /** FNV-1a over the words (Fowler, Noll, Vo), spread over the seed. */
    static long key(long seed, String... purpose) {
        long hash = 0xCBF29CE484222325L;
        for (String word : purpose) {
            for (int i = 0; i < word.length(); i++) hash = (hash ^ word.charAt(i)) * 0x100000001B3L;
            hash = (hash ^ 0xFFFF) * 0x100000001B3L;
        }
        return mix(hash ^ mix(seed));
    }

    /** The finaliser of SplitMix64 (Steele, Lea, Flood, OOPSLA 2014). */
    static long mix(long z) {
        z = (z ^ z >>> 30) * 0xBF58476D1CE4E5B9L;
        z = (z ^ z >>> 27) * 0x94D049BB133111EBL;
        return z ^ z >>> 31;
    }
}
