package buswitness.simulate;

import buswitness.schema.LineFormat;
import buswitness.schema.ResponseFormat;
import java.util.List;

/** Pulse width: every bit begins with an active edge, and the longer active part wins (0). */
final class WidthPulses implements PulseLine {
    private final LineFormat.PulseWidth format;

    WidthPulses(LineFormat.PulseWidth format) {
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
        return edge - Math.round(format.bit().nominal() * 1e6);
    }

    @Override
    public long start(PulseEngine engine, List<PulseEngine.Talker> talkers, long start) {
        double[] lasts = new double[talkers.size()];
        java.util.Arrays.fill(lasts, format.start().nominal());
        return symbol(engine, talkers, 0, start, lasts, format.startTotal().nominal());
    }

    @Override
    public long bit(PulseEngine engine, List<PulseEngine.Talker> talkers, int bit, long edge) {
        boolean zero = PulseLine.anyZero(talkers, bit);
        double[] lasts = new double[talkers.size()];
        for (int i = 0; i < lasts.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            if (talker.out) continue;
            int own = talker.bits.get(bit);
            lasts[i] = (own == 1 ? format.one() : format.zero()).nominal();
            if (!zero || own == 0) continue;
            engine.drives(talker, talker.edge, talker.edge + Math.round(lasts[i] * talker.station.bitPicos));
            engine.withdraw(talker);
        }
        return symbol(engine, talkers, bit, edge, lasts, format.bit().nominal());
    }

    /** Active for each one's own time, then at rest until the first comes to its next bit. */
    private long symbol(PulseEngine engine, List<PulseEngine.Talker> talkers, int bit, long edge, double[] lasts,
                        double total) {
        long[] planned = new long[lasts.length];
        long passive = edge;
        long next = Long.MAX_VALUE;
        for (int i = 0; i < lasts.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            planned[i] = Long.MAX_VALUE;
            if (talker.out) continue;
            long lets = talker.edge + Math.round(lasts[i] * talker.station.bitPicos);
            engine.drives(talker, talker.edge, lets);
            passive = Math.max(passive, lets + talker.station.releaseLagPicos);
            planned[i] = talker.edge + Math.round(total * talker.station.bitPicos);
            next = Math.min(next, planned[i]);
        }
        engine.settle(edge);
        boolean broken = engine.brokenOff(talkers, bit, edge, passive, false)
                || engine.brokenOff(talkers, bit, passive, next, true);
        if (broken) return BROKEN_OFF;
        PulseLine.follow(talkers, planned, next);
        return next;
    }

    @Override
    public long reply(PulseEngine engine, List<PulseEngine.Talker> talkers, long restsFrom, ResponseFormat response) {
        long[] planned = new long[talkers.size()];
        long next = Long.MAX_VALUE;
        for (int i = 0; i < planned.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            planned[i] = restsFrom + talker.station.loopDelayPicos
                    + Math.round(format.endOfData().nominal() * talker.station.bitPicos);
            next = Math.min(next, planned[i]);
        }
        PulseLine.follow(talkers, planned, next);
        return next;
    }
}
