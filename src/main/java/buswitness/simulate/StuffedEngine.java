package buswitness.simulate;

import buswitness.frames.BitString;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.List;

/**
 * A bus of stuffed bits that is not CAN: no error counters, and of the rules only those that its format names. Nodes
 * that start together go bit by bit on the clock of the first; who sends recessive and reads dominant falls silent
 * where the bus arbitrates, and has found an error where it does not. Everybody then drives an error flag, if there are.
 */
final class StuffedEngine {
    private final Floor floor;
    private final LineFormat.Stuffed line;
    private final double bitPicos;
    private final List<Talker> talkers = new ArrayList<>();
    private long restsFrom = Long.MIN_VALUE / 4;

    private static final class Talker {
        final Station station;
        final BitString bits;
        /** Bits in which it may lose without damage. */
        final int arbitration;
        boolean out;
        /** Bits after the one that broke at which it finds the error too; -1 while it has not. */
        int finds = -1;

        Talker(Station station, BitString bits, int arbitration) {
            this.station = station;
            this.bits = bits;
            this.arbitration = arbitration;
        }
    }

    StuffedEngine(Floor floor, double bitsPerSecond) {
        this.floor = floor;
        line = (LineFormat.Stuffed) floor.format.line();
        bitPicos = 1e12 / bitsPerSecond;
    }

    void run() {
        while (true) {
            long start = floor.next(this::startOf);
            if (start == Long.MAX_VALUE) break;
            long burst = floor.bursts.firstForcing(restsFrom, start + 1, true, Math.round(bitPicos / 2));
            if (burst != Long.MAX_VALUE) {
                // Taken for somebody's sending: the rest is counted anew.
                restsFrom = floor.bursts.quietFrom(burst, burst + 1);
                continue;
            }
            frame(start);
        }
        floor.flush(floor.endPicos);
    }

    /** The rest after a frame is counted from its last end bit. */
    private long startOf(Station station) {
        double rest = line.restBits() * bitOf(station, Math.max(0, restsFrom))
                + station.behaviour.habits().restsSeconds() * 1e12;
        return Floor.startOf(station, restsFrom + Math.round(rest));
    }

    private double bitOf(Station station, long atPicos) {
        return bitPicos * station.clock.secondLength(atPicos * 1e-12);
    }

    private void frame(long start) {
        talkers.clear();
        long limit = start + Math.round((1 - BusEngine.SAMPLE_POINT) * bitPicos);
        Talker leader = null;
        for (Station station : floor.stations) {
            if (!Floor.isOn(station)) continue;
            long own = startOf(station);
            if (own > limit) continue;
            station.current = station.choose(Math.max(start, own));
            if (station.current == null) continue;
            FormatFrame frame = station.current.other;
            Talker talker = new Talker(station, frame.stuffed(), arbitrationBits(frame));
            station.bitPicos = bitOf(station, start);
            talkers.add(talker);
            if (leader == null || own < startOf(leader.station)) leader = talker;
        }
        floor.flush(start);
        floor.book.open(start);
        new Course(start, leader).run();
    }

    private int arbitrationBits(FormatFrame frame) {
        return switch (floor.format.arbitration()) {
            case NONE -> 0;
            case WHOLE_FRAME -> Integer.MAX_VALUE;
            case IDENTIFIER -> stuffedIndex(frame, 1 + frame.fields.namedUntil());
        };
    }

    /** Bits on the wire before so many unstuffed ones are over. */
    private int stuffedIndex(FormatFrame frame, int plain) {
        BitString bits = frame.stuffed();
        int run = 0;
        int last = -1;
        int seen = 0;
        for (int i = 0; i < bits.size(); i++) {
            boolean stuff = line.stuffAfter() > 0 && run == line.stuffAfter();
            int bit = bits.get(i);
            run = bit == last ? run + 1 : 1;
            last = bit;
            if (!stuff && ++seen == plain) return i + 1;
        }
        return bits.size();
    }

    /** One frame on its way over the line. */
    private final class Course {
        private Talker leader;
        private long anchor;
        private int sinceAnchor;
        private int run;
        private int last = -1;
        private final int[] driving = new int[floor.stations.length];

        Course(long start, Talker leader) {
            this.leader = leader;
            anchor = start;
            java.util.Arrays.fill(driving, 1);
        }

        private long at() {
            return anchor + Math.round(sinceAnchor * leader.station.bitPicos);
        }

        private int bit(Talker talker, int n) {
            return talker.out || n >= talker.bits.size() ? 1 : talker.bits.get(n);
        }

        void run() {
            int tail = tailBits();
            for (int n = 0; n < bitsToSend() + tail; n++) {
                if (at() >= floor.endPicos) {
                    giveUp(n);
                    letGo();
                    break;
                }
                int seen = oneBit(n);
                boolean stuffed = n < leader.bits.size();
                run = seen == last ? run + 1 : 1;
                last = seen;
                boolean broken = settle(n, seen);
                boolean violated = stuffed && line.stuffAfter() > 0 && run > line.stuffAfter();
                boolean alone = line.acknowledge() && n == leader.bits.size() + 1 && seen == 1;
                if (broken || line.errorFlags() && (violated || alone)) {
                    flag(n, violated);
                    finish();
                    return;
                }
                if (!line.errorFlags() && talkers.stream().allMatch(t -> t.out)) {
                    letGo();
                    sinceAnchor += line.endBits();
                    break;
                }
            }
            restsFrom = at();
            for (Talker talker : talkers) if (!talker.out) floor.sent(talker.station);
            finish();
        }

        /** Of whoever sends longest: where nobody reads back, the shorter of two frames does not end the longer one. */
        private int bitsToSend() {
            int most = leader.bits.size();
            for (Talker talker : talkers) if (!talker.out) most = Math.max(most, talker.bits.size());
            return most;
        }

        private int tailBits() {
            return (line.acknowledge() ? 3 : 0) + line.endBits();
        }

        /** Drives one bit. @return what is read at its sample point */
        private int oneBit(int n) {
            long now = at();
            floor.flush(now - Math.round(bitPicos / 2));
            int level = 1;
            boolean slot = line.acknowledge() && n == leader.bits.size() + 1;
            for (Station station : floor.stations) {
                int out = 1;
                Talker own = null;
                for (Talker talker : talkers) if (talker.station == station && !talker.out) own = talker;
                if (own != null) out = bit(own, n);
                else if (slot && Floor.isOn(station) && station.behaviour.acknowledges()) out = 0;
                level &= out;
                drive(station, out, now + (station == leader.station ? 0 : station.loopDelayPicos));
            }
            long sample = now + Math.round(BusEngine.SAMPLE_POINT * bitPicos);
            floor.bursts.layUntil(now + Math.round(bitPicos), floor.wire);
            floor.bursts.touches(now, sample);
            sinceAnchor++;
            return floor.bursts.seen(sample, level);
        }

        private void letGo() {
            for (Station station : floor.stations) drive(station, 1, at() + station.loopDelayPicos);
        }

        private void drive(Station station, int out, long at) {
            if (out == driving[station.index]) return;
            driving[station.index] = out;
            if (out == 0) floor.wire.drives(at, station.index);
            else floor.wire.letsGo(at + station.releaseLagPicos, station.index);
        }

        /** Who reads what he did not send draws his conclusion. @return the frame is broken */
        private boolean settle(int n, int seen) {
            boolean broken = false;
            for (Talker talker : talkers) {
                if (talker.out || n >= talker.bits.size() || bit(talker, n) == seen) continue;
                boolean monitors = talker.station.behaviour.habits().readsBack();
                if (n < talker.arbitration && seen == 0) {
                    talker.out = true;
                    talker.station.current = null;
                } else if (line.errorFlags()) {
                    talker.out = true;
                    talker.finds = 0;
                    floor.broke(talker.station, plain(talker, n));
                    broken = true;
                } else if (monitors) {
                    talker.out = true;
                    floor.broke(talker.station, plain(talker, n));
                }
            }
            if (leader.out && !broken) {
                Talker next = null;
                for (Talker talker : talkers) if (next == null && !talker.out) next = talker;
                if (next != null) follow(next);
            }
            return broken;
        }

        private void follow(Talker next) {
            anchor = at() + next.station.loopDelayPicos;
            sinceAnchor = 0;
            leader = next;
            // The bits already sent are behind the new anchor: positions go on by n.
        }

        private int plain(Talker talker, int n) {
            int run = 0;
            int last = -1;
            int plain = 0;
            for (int i = 0; i < n; i++) {
                boolean stuff = line.stuffAfter() > 0 && run == line.stuffAfter();
                run = talker.bits.get(i) == last ? run + 1 : 1;
                last = talker.bits.get(i);
                if (!stuff) plain++;
            }
            return plain;
        }

        private void giveUp(int n) {
            for (Talker talker : talkers) {
                if (talker.out) continue;
                talker.out = true;
                floor.broke(talker.station, plain(talker, Math.min(n, talker.bits.size())));
            }
        }

        /**
         * Error flags from the next bit on: by who found the error; by another sender once it reads dominant where it
         * sends recessive; by everybody at the latest when more equal bits than stuffing allows have been read.
         *
         * @param violated that is so already
         */
        private void flag(int n, boolean violated) {
            int length = line.stuffAfter() + 1;
            int latest = violated ? 0 : Math.max(0, length - (last == 0 ? run : 0));
            long from = at();
            int most = 0;
            for (Station station : floor.stations) {
                if (!Floor.isOn(station)) continue;
                int first = latest;
                for (Talker talker : talkers) if (talker.station == station) first = finds(talker, n, latest);
                most = Math.max(most, first);
                long start = from + Math.round(first * leader.station.bitPicos) + station.loopDelayPicos;
                drive(station, 1, from + station.loopDelayPicos);
                floor.drives(station, start, start + Math.round(length * bitOf(station, from)));
            }
            sinceAnchor += most + length;
            restsFrom = at() + Math.round(line.endBits() * leader.station.bitPicos);
        }

        private int finds(Talker talker, int n, int latest) {
            if (talker.finds >= 0) return talker.finds;
            if (talker.out) return latest;
            int k = 1;
            while (k < latest && bit(talker, n + k) == 0) k++;
            talker.out = true;
            floor.broke(talker.station, plain(talker, Math.min(n + k, talker.bits.size())));
            return Math.min(k, latest);
        }

        private void finish() {
            long end = Math.min(restsFrom, floor.endPicos);
            floor.book.ended(end);
            floor.book.close(end);
        }
    }
}
