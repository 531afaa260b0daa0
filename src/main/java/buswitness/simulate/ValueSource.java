package buswitness.simulate;

/** What a signal shows, as a function of the simulation's seconds or of the number of the frame. */
public sealed interface ValueSource {

    record Constant(double value) implements ValueSource {}

    /** {@code from + perSecond * t}, held at {@code until} once reached; NaN where it goes on. */
    record Ramp(double from, double perSecond, double until) implements ValueSource {}

    record Sine(double middle, double amplitude, double periodSeconds, double phaseSeconds) implements ValueSource {
        public Sine {
            if (!(periodSeconds > 0)) throw new IllegalArgumentException("a period is above 0");
        }
    }

    /**
     * @param atSeconds strictly ascending, at least one
     * @param values    as many
     * @param steps     held until the next point; else straight lines between points
     */
    record Points(double[] atSeconds, double[] values, boolean steps) implements ValueSource {
        public Points {
            if (atSeconds.length == 0 || atSeconds.length != values.length) {
                throw new IllegalArgumentException("points need a time and a value each");
            }
            for (int i = 1; i < atSeconds.length; i++) {
                if (!(atSeconds[i] > atSeconds[i - 1])) throw new IllegalArgumentException("points must ascend");
            }
        }
    }

    /** A random walk, turned back at its bounds; {@code perRootSecond} is its standard deviation after one second. */
    record Walk(double from, double perRootSecond, double low, double high) implements ValueSource {
        public Walk {
            if (!(low < high)) throw new IllegalArgumentException("a walk needs room between its bounds");
        }
    }

    /** Normal noise on top; a fresh draw every {@code holdSeconds}, or at each reading where that is 0. */
    record Noisy(ValueSource base, double deviation, double holdSeconds) implements ValueSource {}

    /** A bad sensor or plug: at random instants it shows {@code to} instead, for a random while. */
    record Jumping(ValueSource base, double to, double perSecond, double lastsSeconds) implements ValueSource {
        public Jumping {
            if (!(perSecond > 0 && lastsSeconds > 0)) {
                throw new IllegalArgumentException("jumps need a rate and a time");
            }
        }
    }

    /** {@code high} for the first {@code share} of each period, else {@code low}. */
    record Toggle(double low, double high, double periodSeconds, double share, double phaseSeconds)
            implements ValueSource {
        public Toggle {
            if (!(periodSeconds > 0)) throw new IllegalArgumentException("a period is above 0");
        }
    }

    /** Goes up by {@code step} with every frame released, modulo {@code modulo}. */
    record Counter(long modulo, long step) implements ValueSource {
        public Counter {
            if (modulo < 1) throw new IllegalArgumentException("a counter counts at least to 1");
        }
    }

    /** Takes one page number after the other, one a frame. */
    record Pages(long[] numbers) implements ValueSource {
        public Pages {
            if (numbers.length == 0) throw new IllegalArgumentException("no pages");
        }
    }

    /** A check over the other bytes: exclusive or, or the sum modulo 256. {@code start} is put in first. */
    record Check(boolean sum, int start) implements ValueSource {}
}
