package buswitness.simulate;

import java.util.List;

/**
 * A node's habits that only buses other than CAN know.
 *
 * @param answers      what it sends within frames of others
 * @param answersAfterSeconds from the end of what asks to its answer's first bit (LIN: response space), 0 or more
 * @param betweenBytesSeconds between its bytes, 0 or more
 * @param restsSeconds its rest before a frame, beyond that of the format
 * @param readsBack    it compares what it sends with the line and falls silent where they differ
 * @param tries        attempts at a frame that breaks before it is given up, at least 1
 * @param wakes        how and when it wakes the bus
 * @param wrongCheckShare of its frames whose check it computes wrongly, 0 to 1
 */
public record Habits(List<Answer> answers, double answersAfterSeconds, double betweenBytesSeconds, double restsSeconds,
                     boolean readsBack, int tries, List<Wake> wakes, double wrongCheckShare) {
    public static final Habits USUAL = new Habits(List.of(), 0, 0, 0, true, 4, List.of(), 0);

    /**
     * A reply within another node's frame.
     *
     * @param checked whether a check follows its bytes, where the bus knows one. One byte of each of several nodes without
     *                a check: they arbitrate, and who loses follows (SAE J1850, response types 1 and 2; from memory)
     */
    public record Answer(long key, byte[] bytes, boolean checked) {

        /** A reply with its check. */
        public Answer(long key, byte[] bytes) {
            this(key, bytes, true);
        }
    }

    /**
     * Wakes the bus before it talks (ISO 9141-2, ISO 14230-2).
     *
     * @param address sent at the slow rate; -1 for the wake-up pattern
     * @param by      node that answers an address with the sync byte and its two key bytes, or null
     * @param lastsSeconds of the pattern's active level; 0 for the usual
     */
    public record Wake(double atSeconds, int address, String by, double lastsSeconds) {}

    public Habits {
        answers = List.copyOf(answers);
        wakes = List.copyOf(wakes);
        if (!(answersAfterSeconds >= 0 && betweenBytesSeconds >= 0 && restsSeconds >= 0)) {
            throw new IllegalArgumentException("a pause is below 0");
        }
        if (tries < 1) throw new IllegalArgumentException("a frame is tried at least once");
    }

    public Habits withAnswers(List<Answer> other) {
        return new Habits(other, answersAfterSeconds, betweenBytesSeconds, restsSeconds, readsBack, tries, wakes,
                wrongCheckShare);
    }

    public Habits withPauses(double answersAfter, double betweenBytes, double rests) {
        return new Habits(answers, answersAfter, betweenBytes, rests, readsBack, tries, wakes,
                wrongCheckShare);
    }

    public Habits withReadBack(boolean does) {
        return new Habits(answers, answersAfterSeconds, betweenBytesSeconds, restsSeconds, does, tries, wakes,
                wrongCheckShare);
    }

    public Habits withTries(int other) {
        return new Habits(answers, answersAfterSeconds, betweenBytesSeconds, restsSeconds, readsBack, other, wakes,
                wrongCheckShare);
    }

    public Habits withWakes(List<Wake> other) {
        return new Habits(answers, answersAfterSeconds, betweenBytesSeconds, restsSeconds, readsBack, tries, other,
                wrongCheckShare);
    }

    public Habits withWrongChecks(double share) {
        return new Habits(answers, answersAfterSeconds, betweenBytesSeconds, restsSeconds, readsBack, tries, wakes, share);
    }
}
