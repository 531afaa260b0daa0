package buswitness.calibrate;

import buswitness.frames.MessageKey;
import buswitness.simulate.Field;
import buswitness.simulate.Sending;
import buswitness.simulate.Trigger;
import java.util.ArrayList;
import java.util.List;

/** A message while a bus is being drawn up. */
final class MessageDraft {
    final int identifier;
    final boolean extended;
    final int length;
    boolean remote;
    /** Nominal; NaN for events. */
    double periodSeconds;
    List<Trigger> triggers = new ArrayList<>();
    List<Field> fields = new ArrayList<>();
    int filler;
    /** A confounder has already had its way with it. */
    boolean taken;

    MessageDraft(int identifier, boolean extended, int length, double periodSeconds) {
        this.identifier = identifier;
        this.extended = extended;
        this.length = length;
        this.periodSeconds = periodSeconds;
    }

    MessageDraft copy() {
        MessageDraft copy = new MessageDraft(identifier, extended, length, periodSeconds);
        copy.remote = remote;
        copy.triggers = new ArrayList<>(triggers);
        copy.fields = new ArrayList<>(fields);
        copy.filler = filler;
        copy.taken = taken;
        return copy;
    }

    long key() {
        return MessageKey.can(identifier, extended);
    }

    /** Bits of a frame, intermission and a usual share of stuff bits included. */
    double bits() {
        return (extended ? 67 : 47) + 8 * length * 1.1 + 4;
    }

    Sending build() {
        return new Sending(identifier, extended, remote, length, triggers, fields, filler);
    }
}
