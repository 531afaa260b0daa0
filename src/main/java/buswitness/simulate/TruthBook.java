package buswitness.simulate;

import java.util.ArrayList;
import java.util.List;

/** Gathers what becomes of each frame and tells the sink. */
final class TruthBook {
    private final TruthSink sink;
    private final Tap tap;
    private final List<Outgoing> sent = new ArrayList<>();
    private final List<Outgoing> broke = new ArrayList<>();
    private final List<Integer> brokeAt = new ArrayList<>();
    private boolean open;
    private long start;
    private long end;
    /** Known from the moment it ended. */
    private List<FrameTruth.Sender> senders;

    TruthBook(TruthSink sink, Tap tap) {
        this.sink = sink;
        this.tap = tap;
    }

    void befell(long atPicos, Station station, String what) {
        sink.befell(onClock(atPicos), station.behaviour.name(), what);
    }

    private long onClock(long picos) {
        return Math.round(tap.onClock(picos));
    }

    /** A start bit is on the wire. */
    void open(long startPicos) {
        if (open) close(startPicos);
        open = true;
        start = startPicos;
        sent.clear();
        broke.clear();
        brokeAt.clear();
    }

    boolean isOpen() {
        return open;
    }

    void broke(Outgoing outgoing, int bit) {
        broke.add(outgoing);
        brokeAt.add(bit);
    }

    void sent(Outgoing outgoing) {
        sent.add(outgoing);
    }

    /** The frame or its error delimiter is over; only the first call counts. */
    void ended(long endPicos) {
        if (!open || senders != null) return;
        end = endPicos;
        senders = new ArrayList<>(sent.size() + broke.size());
        for (Outgoing outgoing : sent) senders.add(sender(outgoing, true, outgoing.broken, -1));
        for (int i = 0; i < broke.size(); i++) {
            senders.add(sender(broke.get(i), false, broke.get(i).broken - 1, brokeAt.get(i)));
        }
    }

    /** Nothing more will become of the open frame. */
    void close(long nowPicos) {
        if (!open) return;
        ended(nowPicos);
        open = false;
        boolean whole = senders.stream().anyMatch(FrameTruth.Sender::completed);
        sink.frame(new FrameTruth(onClock(start), onClock(end), whole, senders));
        senders = null;
    }

    private FrameTruth.Sender sender(Outgoing outgoing, boolean completed, int attempt, int bit) {
        Station station = outgoing.mailbox.station;
        Sending sending = outgoing.mailbox.sending;
        return new FrameTruth.Sender(station.behaviour.name(),
                outgoing.other != null ? outgoing.other.key : sending.key(), sending.remote(), outgoing.data(),
                onClock(outgoing.releasePicos), completed, attempt, bit, station.controller.transmitErrors());
    }
}
