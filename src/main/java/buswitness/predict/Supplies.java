package buswitness.predict;

import buswitness.frames.MessageKey;
import buswitness.schema.Instrument;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.List;

/** Who serves each instrument, on paper. */
final class Supplies {
    private Supplies() {}

    static List<Supply> of(SharedBus bus) {
        return bus.instruments().stream().map(i -> of(bus, i)).toList();
    }

    static Supply of(SharedBus bus, Instrument instrument) {
        List<String> carriers = new ArrayList<>();
        List<String> others = new ArrayList<>();
        for (Stream s : bus.senders(MessageKey.of(instrument.message()))) {
            (carries(s, instrument.signal()) ? carriers : others).add(s.node());
        }
        boolean wired = bus.wires().containsKey(instrument.name()) && bus.wires().get(instrument.name()).fitted();
        int senders = carriers.size() + others.size();
        Supply.Kind kind = wired ? Supply.Kind.WIRE : senders == 0 ? Supply.Kind.NONE
                : carriers.isEmpty() ? Supply.Kind.UNFILLED : senders == 1 ? Supply.Kind.ONE : Supply.Kind.TWO;
        return new Supply(instrument, kind, carriers, others);
    }

    /** A sender whose papers name no value at all is given the benefit of the doubt, if its payload is long enough. */
    private static boolean carries(Stream stream, Signal wanted) {
        if (wanted.firstBit() + wanted.width() > 8 * stream.bytes()) return false;
        if (stream.message().carries().isEmpty()) return true;
        return stream.message().carries().stream().anyMatch(s -> Meaning.same(s, wanted));
    }
}
