package buswitness.plan;

import buswitness.frames.MessageKey;
import buswitness.schema.Message;
import buswitness.schema.Signal;

/** A signal of the layout with the message that carries it. */
public record Reference(Message message, Signal signal) {
    long key() {
        return MessageKey.of(message);
    }

    /**
     * Standard uncertainty with which the bus can say it: a step is rectangular, so step / sqrt(12) (JCGM 100:2008,
     * 4.3.7). A single bit, or a number without a unit (a gear, a state), is exact.
     */
    double resolution() {
        return signal.width() == 1 || signal.unit().isEmpty() ? 0 : step() / Math.sqrt(12);
    }

    double step() {
        return Math.abs(signal.factor());
    }
}
