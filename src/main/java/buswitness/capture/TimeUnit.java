package buswitness.capture;

import java.util.Locale;

/** Units of time that recordings and their headers use. */
enum TimeUnit {
    S(1_000_000_000_000L, "s", "sec", "secs", "second", "seconds"),
    MS(1_000_000_000L, "ms", "msec", "millisecond", "milliseconds"),
    US(1_000_000L, "us", "\u00b5s", "\u03bcs", "usec", "microsecond", "microseconds"),
    NS(1_000L, "ns", "nsec", "nanosecond", "nanoseconds"),
    PS(1L, "ps", "psec", "picosecond", "picoseconds");

    /** The words a user may choose from, for messages. */
    static final String CHOICE = "s, ms, us, ns or ps";

    final long picos;
    private final String[] words;

    TimeUnit(long picos, String... words) {
        this.picos = picos;
        this.words = words;
    }

    /** @return null where the word names none of them */
    static TimeUnit of(String word) {
        String wanted = word.strip().toLowerCase(Locale.ROOT);
        for (TimeUnit unit : values()) {
            for (String known : unit.words) {
                if (known.equals(wanted)) return unit;
            }
        }
        return null;
    }

    String word() {
        return words[0];
    }
}
