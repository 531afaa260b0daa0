package buswitness.simulate;

import buswitness.schema.LineFormat;
import buswitness.schema.ResponseFormat;
import java.util.List;

/** The symbols of one kind of pulse, driven by all who still take part. Instants are those of edges on the line. */
interface PulseLine {
    /** No edge: interference broke it off. Edges before the recording are negative, so no small number will do. */
    long BROKEN_OFF = Long.MIN_VALUE;

    static PulseLine of(LineFormat format) {
        if (format instanceof LineFormat.VariablePulse variable) return new VariablePulses(variable);
        return new WidthPulses((LineFormat.PulseWidth) format);
    }

    double restMicros();

    double endOfFrameMicros();

    /** From where rest and end of frame count, given the edge that {@link #bit} gave for the last bit. */
    long restsFrom(long edge);

    /** Start of frame. @return edge from which the first bit counts, or {@link #BROKEN_OFF} */
    long start(PulseEngine engine, List<PulseEngine.Talker> talkers, long start);

    /** One bit; who loses it is withdrawn. @return the edge from which the next one counts, or {@link #BROKEN_OFF} */
    long bit(PulseEngine engine, List<PulseEngine.Talker> talkers, int bit, long edge);

    /** What comes before the first bit of a reply. @param restsFrom as {@link #restsFrom} gave it */
    long reply(PulseEngine engine, List<PulseEngine.Talker> talkers, long restsFrom, ResponseFormat response);

    /** Everybody takes the first edge as the start of his own symbol: at his own time or as soon as he sees it. */
    static void follow(List<PulseEngine.Talker> talkers, long[] planned, long first) {
        for (int i = 0; i < planned.length; i++) {
            PulseEngine.Talker talker = talkers.get(i);
            talker.edge = Math.min(planned[i], first + talker.station.loopDelayPicos);
        }
    }

    /** Whether somebody who still takes part sends a 0 as this bit: then it beats those who send a 1. */
    static boolean anyZero(List<PulseEngine.Talker> talkers, int bit) {
        for (PulseEngine.Talker talker : talkers) if (!talker.out && talker.bits.get(bit) == 0) return true;
        return false;
    }
}
