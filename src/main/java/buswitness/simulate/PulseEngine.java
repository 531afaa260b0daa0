package buswitness.simulate;

import buswitness.frames.BitString;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;
import buswitness.schema.ResponseFormat;
import java.util.ArrayList;
import java.util.List;

/**
 * A bus of pulses that arbitrates through the whole frame (SAE J1850): nodes that start together drive bit by bit, each
 * by its own clock from the last edge on the line; who sends the weaker symbol sees the stronger one, falls silent
 * without damage and tries again after the next rest. Active wins, so a 0 beats a 1 in either coding.
 */
final class PulseEngine {
    /** Interference shorter than this a node takes for a spike; common practice, no source. */
    private static final double SPIKE_MICROS = 12;
    private final Floor floor;
    private final PulseLine line;
    private final long endOfFrame;
    /** From where the pause is counted: see {@link PulseLine#endOf}. */
    private long restsFrom = Long.MIN_VALUE / 4;
    private final List<Talker> talkers = new ArrayList<>();

    /** One node within one frame. */
    static final class Talker {
        final Station station;
        final BitString bits;
        /** By its own clock the edge from which its present symbol counts. */
        long edge;
        boolean out;

        Talker(Station station, BitString bits) {
            this.station = station;
            this.bits = bits;
        }
    }

    PulseEngine(Floor floor) {
        this.floor = floor;
        line = PulseLine.of(floor.format.line());
        endOfFrame = Math.round(line.endOfFrameMicros() * 1e6);
    }

    void run() {
        while (true) {
            long start = floor.next(this::startOf);
            if (start == Long.MAX_VALUE) break;
            long disturbed = disturbedUntil(start);
            if (disturbed > start) {
                restsFrom = disturbed;
                continue;
            }
            frame(start);
        }
        floor.flush(floor.endPicos);
    }

    /** Interference that nodes take for somebody's sending begins their pause anew. */
    private long disturbedUntil(long start) {
        long at = floor.bursts.firstForcing(restsFrom, start + 1, true, spike());
        return at == Long.MAX_VALUE ? start : floor.bursts.quietFrom(at, at + 1);
    }

    private static long spike() {
        return Math.round(SPIKE_MICROS * 1e6);
    }

    private long startOf(Station station) {
        double rest = line.restMicros() * 1e6 * secondLength(station, Math.max(0, restsFrom))
                + station.behaviour.habits().restsSeconds() * 1e12;
        return Floor.startOf(station, restsFrom + Math.round(rest));
    }

    private static double secondLength(Station station, long atPicos) {
        return station.clock.secondLength(atPicos * 1e-12);
    }

    private void frame(long start) {
        talkers.clear();
        for (Station station : floor.stations) {
            if (!Floor.isOn(station)) continue;
            // Who has something ready joins the start of frame it sees once the frame before has ended.
            long own = startOf(station);
            boolean waiting = station.earliestReady() <= start && start >= restsFrom + endOfFrame;
            if (own > start + station.loopDelayPicos && !waiting) continue;
            station.current = station.choose(Math.max(start, Math.min(own, start + station.loopDelayPicos)));
            if (station.current == null) continue;
            Talker talker = new Talker(station, station.current.other.bits);
            talker.edge = own <= start ? start : Math.min(own, start + station.loopDelayPicos);
            station.bitPicos = 1e6 * secondLength(station, start);
            talkers.add(talker);
        }
        if (talkers.isEmpty()) {
            restsFrom = start;
            return;
        }
        floor.flush(start);
        floor.book.open(start);
        boolean whole = contest(start);
        List<Station> done = new ArrayList<>();
        for (Talker talker : talkers) {
            if (talker.out) continue;
            done.add(talker.station);
        }
        long key = done.isEmpty() ? 0 : done.get(0).current.other.key;
        long ended = restsFrom + endOfFrame;
        if (whole) {
            for (Station station : done) floor.sent(station);
            ended = respond(key, ended);
            floor.answer(key, ended);
        }
        floor.book.ended(Math.min(ended, floor.endPicos));
        floor.book.close(Math.min(ended, floor.endPicos));
    }

    /** Bit by bit until the last one left has sent all, or interference broke it off. @return a whole frame was sent */
    private boolean contest(long start) {
        long edge = line.start(this, talkers, start);
        for (int bit = 0; edge != PulseLine.BROKEN_OFF; bit++) {
            if (edge >= floor.endPicos) return cut(bit);
            boolean over = true;
            for (Talker talker : talkers) over &= talker.out || bit >= talker.bits.size();
            if (over) {
                restsFrom = line.restsFrom(edge);
                return true;
            }
            // One whose frame is already over while another goes on has lost as well.
            for (Talker talker : talkers) if (!talker.out && bit >= talker.bits.size()) withdraw(talker);
            long next = line.bit(this, talkers, bit, edge);
            if (next == PulseLine.BROKEN_OFF) return false;
            edge = next;
        }
        return false;
    }

    private boolean cut(int bit) {
        for (Talker talker : talkers) {
            if (talker.out) continue;
            talker.out = true;
            floor.broke(talker.station, bit + 1);
        }
        restsFrom = floor.endPicos;
        return false;
    }

    /** Lost: silent, without damage, its frame stays ready. */
    void withdraw(Talker talker) {
        talker.out = true;
        talker.station.current = null;
    }

    void drives(Talker talker, long fromPicos, long untilPicos) {
        floor.drives(talker.station, fromPicos, untilPicos + talker.station.releaseLagPicos);
    }

    /** Whether interference holds the line so between two instants; where it does, everybody stops. */
    boolean brokenOff(List<Talker> sending, int bit, long fromPicos, long untilPicos, boolean active) {
        long at = floor.bursts.firstForcing(fromPicos, untilPicos, active, spike());
        if (at == Long.MAX_VALUE) return false;
        for (Talker talker : sending) {
            if (talker.out) continue;
            talker.out = true;
            if (talker.station.current != null) floor.broke(talker.station, bit + 1);
        }
        restsFrom = floor.bursts.quietFrom(at, Math.max(at + 1, untilPicos));
        return true;
    }

    /** The pulses so far go onto the line. */
    void settle(long untilPicos) {
        floor.flush(untilPicos);
    }

    /** Replies within the frame. @return where the frame then ends */
    private long respond(long key, long ended) {
        BusFormat format = floor.format;
        if (format.response() == null) return ended;
        List<Talker> replying = new ArrayList<>();
        boolean checked = false;
        boolean single = true;
        for (Station station : floor.stations) {
            if (!Floor.isOn(station)) continue;
            for (Habits.Answer answer : station.behaviour.habits().answers()) {
                if (answer.key() != key) continue;
                station.bitPicos = 1e6 * secondLength(station, restsFrom);
                replying.add(new Talker(station, Replies.bits(format.response(), answer)));
                checked |= answer.checked();
                single &= !answer.checked() && answer.bytes().length == 1;
            }
        }
        if (replying.isEmpty()) return ended;
        ResponseFormat response = format.response();
        if (!checked) response = new ResponseFormat(response.kind(), response.mostBytes(), null);
        long edge = line.reply(this, replying, restsFrom, response);
        edge = single ? inTurn(replying, edge) : together(replying, edge);
        if (edge != PulseLine.BROKEN_OFF) restsFrom = line.restsFrom(edge);
        return restsFrom + endOfFrame;
    }

    /** All at once; who loses falls silent. @return the last edge, or {@link PulseLine#BROKEN_OFF} */
    private long together(List<Talker> replying, long from) {
        long edge = from;
        for (int bit = 0; edge != PulseLine.BROKEN_OFF; bit++) {
            boolean over = true;
            for (Talker talker : replying) over &= talker.out || bit >= talker.bits.size();
            if (over || edge >= floor.endPicos) break;
            for (Talker talker : replying) talker.out |= bit >= talker.bits.size();
            edge = line.bit(this, replying, bit, edge);
        }
        return edge;
    }

    /** A byte of each, the lowest first. */
    private long inTurn(List<Talker> replying, long from) {
        long edge = from;
        List<Talker> left = replying;
        for (int sent = 0; !left.isEmpty() && isInTime(edge); sent += Byte.SIZE) {
            List<Talker> round = new ArrayList<>();
            for (Talker talker : left) {
                // The bits of those before it are on the line already.
                BitString bits = new BitString();
                for (int i = 0; i < sent; i++) bits.add(0);
                for (int i = talker.bits.size() - Byte.SIZE; i < talker.bits.size(); i++) bits.add(talker.bits.get(i));
                Talker again = new Talker(talker.station, bits);
                again.edge = talker.edge > edge ? talker.edge : edge;
                round.add(again);
            }
            for (int bit = sent; bit < sent + Byte.SIZE && edge != PulseLine.BROKEN_OFF; bit++) {
                edge = line.bit(this, round, bit, edge);
            }
            left = round.stream().filter(t -> t.out).toList();
        }
        return edge;
    }

    private boolean isInTime(long edge) {
        return edge != PulseLine.BROKEN_OFF && edge < floor.endPicos;
    }
}
