package buswitness.simulate;

import buswitness.schema.LineFormat;
import buswitness.schema.ResponseFormat;
import java.util.List;

/** Variable pulse width: levels alternate, short or long; the shorter rest and the longer active level win (0). */
final class VariablePulses implements PulseLine {
    private final LineFormat.VariablePulse format;

    VariablePulses(LineFormat.VariablePulse format) {
        this.format = format;
    }

    @Override
    public double restMicros() {
        return format.restMicros();
    }

    @Override
    public double endOfFrameMicros() {
        return format.endOfFrame().nominal();
    }

    @Override
    public long restsFrom(long edge) {
        return edge;
    }

    @Override
    public long start(PulseEngine engine, List<PulseEngine.Talker> talkers, long start) {
        double[] lasts = new double[talkers.size()];
        java.util.Arrays.fill(lasts, format.start().nominal());
        return active(engine, talkers, 0, start, lasts);
    }

    @Override
    public long bit(PulseEngine engine, List<PulseEngine.Talker> talkers, int bit, long edge) {
        boolean active = (bit & 1) == 1;
        boolean zero = PulseLine.anyZero(talkers, bit);
        double[] lasts = new double[talkers.size()];
        for (int i = 0; i < lasts.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            if (talker.out) continue;
            int own = talker.bits.get(bit);
            boolean isLong = active ? own == 0 : own == 1;
            lasts[i] = (isLong ? format.longPulse() : format.shortPulse()).nominal();
            if (!zero || own == 0) continue;
            // It lets go, or waits on, and finds the line still or already active.
            if (active) {
                engine.drives(talker, talker.edge, talker.edge + Math.round(lasts[i] * talker.station.bitPicos));
            }
            engine.withdraw(talker);
        }
        return active ? active(engine, talkers, bit, edge, lasts) : passive(engine, talkers, bit, edge, lasts);
    }

    private long passive(PulseEngine engine, List<PulseEngine.Talker> talkers, int bit, long edge, double[] lasts) {
        long[] planned = planned(talkers, lasts);
        long next = Long.MAX_VALUE;
        for (long at : planned) next = Math.min(next, at);
        if (engine.brokenOff(talkers, bit, edge, next, true)) return BROKEN_OFF;
        PulseLine.follow(talkers, planned, next);
        return next;
    }

    private static long[] planned(List<PulseEngine.Talker> talkers, double[] lasts) {
        long[] planned = new long[lasts.length];
        for (int i = 0; i < lasts.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            planned[i] = talker.out ? Long.MAX_VALUE
                    : talker.edge + Math.round(lasts[i] * talker.station.bitPicos);
        }
        return planned;
    }

    private long active(PulseEngine engine, List<PulseEngine.Talker> talkers, int bit, long edge, double[] lasts) {
        long next = Long.MIN_VALUE;
        for (int i = 0; i < lasts.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            if (talker.out) continue;
            long lets = talker.edge + Math.round(lasts[i] * talker.station.bitPicos);
            engine.drives(talker, talker.edge, lets);
            next = Math.max(next, lets + talker.station.releaseLagPicos);
        }
        engine.settle(edge);
        boolean held = engine.brokenOff(talkers, bit, edge, next, false);
        if (held || engine.brokenOff(talkers, bit, next, next + 1, true)) return BROKEN_OFF;
        for (int i = 0; i < lasts.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            if (talker.out) continue;
            long lets = talker.edge + Math.round(lasts[i] * talker.station.bitPicos);
            boolean last = lets + talker.station.releaseLagPicos == next;
            talker.edge = last ? lets : next + talker.station.loopDelayPicos;
        }
        return next;
    }

    @Override
    public long reply(PulseEngine engine, List<PulseEngine.Talker> talkers, long restsFrom, ResponseFormat response) {
        double[] waits = new double[talkers.size()];
        double[] lasts = new double[talkers.size()];
        // A short normalisation bit announces a check, a long one none (SAE J1850; the reverse is in use as well).
        double opens = (response.check() != null ? format.shortPulse() : format.longPulse()).nominal();
        java.util.Arrays.fill(waits, format.endOfData().nominal());
        java.util.Arrays.fill(lasts, opens);
        for (PulseEngine.Talker talker : talkers) talker.edge = restsFrom + talker.station.loopDelayPicos;
        long edge = passive(engine, talkers, 0, restsFrom, waits);
        return edge == BROKEN_OFF ? BROKEN_OFF : active(engine, talkers, 0, edge, lasts);
    }
}
