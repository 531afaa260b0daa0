package buswitness.instruments;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.MessageFinding;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.MessageKey;
import buswitness.schema.Instrument;
import buswitness.schema.Signal;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * Everything the recording holds about one instrument's message. Arrivals are its whole data frames; samples are those
 * arrivals that carry the signal (all of them, unless it shares its bits with other pages).
 */
final class SignalSeries {
    private static final int LIN_IDENTIFIER = 0x3F;
    final long key;
    /** Times of arrivals, ascending. */
    double[] arrivalAt = new double[64];
    /** Value carried by the arrival, NaN where another page is sent. */
    double[] arrivalValue = new double[64];
    int[] arrivalSender = new int[64];
    private long[] arrivalWord = new long[64];
    /** Where a gap of the recording lies before the arrival: its beginning; else NaN. */
    double[] arrivalGap = new double[64];
    int arrivals;
    /** Damaged frames whose identifier could be read as this message. */
    double[] damagedAt = new double[16];
    /** What the damaged frame would have told, NaN where it broke too early. */
    double[] damagedValue = new double[16];
    int damaged;

    double[] at;
    double[] value;
    int[] sender;
    /** First eight payload bytes of the sample's frame, first byte highest. */
    long[] word;
    /** First sample, or a gap of the recording lies before it. */
    boolean[] fresh;
    int samples;

    private SignalSeries(long key) {
        this.key = key;
    }

    static SignalSeries read(FrameLog log, List<Gap> gaps, ClashFindings clashes, Instrument instrument) {
        SignalSeries series = new SignalSeries(MessageKey.of(instrument.message()));
        Signal signal = instrument.signal();
        Set<Long> shared = clashes.messages().stream().filter(m -> MessageFinding.EVENT_TRIGGERED.equals(m.byDesign()))
                .map(MessageFinding::key).collect(Collectors.toSet());
        int gapsPassed = 0;
        int gapsAtLast = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != series.key && !bringsUnderAnother(log, i, series.key, shared) || log.isRemote(i)) continue;
            double now = log.startSeconds(i);
            double value = signal.read(log.data(i), log.dataLength(i));
            if (!log.isWhole(i)) {
                FrameFault fault = log.fault(i);
                if (fault.isDamage()) series.addDamaged(now, value);
                continue;
            }
            while (gapsPassed < gaps.size() && gaps.get(gapsPassed).fromPicos() <= log.startPicos(i)) gapsPassed++;
            double gap = gapsPassed > gapsAtLast ? gaps.get(gapsAtLast).fromPicos() * 1e-12 : Double.NaN;
            gapsAtLast = gapsPassed;
            series.addArrival(now, value, clashes.senderOf(i), log.dataWord(i), gap);
        }
        series.pickSamples();
        return series;
    }

    /** An event-triggered frame brings another message's payload, which it names in its first byte (LIN). */
    private static boolean bringsUnderAnother(FrameLog log, int i, long key, Set<Long> shared) {
        return !shared.isEmpty() && shared.contains(log.key(i)) && log.isWhole(i) && log.dataLength(i) > 0
                && (log.dataByte(i, 0) & LIN_IDENTIFIER) == MessageKey.identifier(key);
    }

    private void addArrival(double when, double told, int from, long payload, double gap) {
        if (arrivals == arrivalAt.length) {
            int more = arrivals * 2;
            arrivalAt = Arrays.copyOf(arrivalAt, more);
            arrivalValue = Arrays.copyOf(arrivalValue, more);
            arrivalSender = Arrays.copyOf(arrivalSender, more);
            arrivalGap = Arrays.copyOf(arrivalGap, more);
            arrivalWord = Arrays.copyOf(arrivalWord, more);
        }
        arrivalAt[arrivals] = when;
        arrivalValue[arrivals] = told;
        arrivalSender[arrivals] = from;
        arrivalWord[arrivals] = payload;
        arrivalGap[arrivals++] = gap;
    }

    private void addDamaged(double when, double told) {
        if (damaged == damagedAt.length) {
            damagedAt = Arrays.copyOf(damagedAt, damaged * 2);
            damagedValue = Arrays.copyOf(damagedValue, damaged * 2);
        }
        damagedAt[damaged] = when;
        damagedValue[damaged++] = told;
    }

    private void pickSamples() {
        at = new double[arrivals];
        value = new double[arrivals];
        sender = new int[arrivals];
        word = new long[arrivals];
        fresh = new boolean[arrivals];
        boolean gapSince = true;
        for (int i = 0; i < arrivals; i++) {
            gapSince |= !Double.isNaN(arrivalGap[i]);
            if (Double.isNaN(arrivalValue[i])) continue;
            at[samples] = arrivalAt[i];
            value[samples] = arrivalValue[i];
            sender[samples] = arrivalSender[i];
            word[samples] = arrivalWord[i];
            fresh[samples++] = gapSince;
            gapSince = false;
        }
    }

    /** Damaged frames of this message that start in [from, until]. */
    int damagedBetween(double from, double until) {
        int count = 0;
        for (int i = 0; i < damaged; i++) if (damagedAt[i] >= from && damagedAt[i] <= until) count++;
        return count;
    }

    /** Time watched from the first to the last sample, gaps left out; 0 without samples. */
    double watchedSeconds() {
        double sum = 0;
        for (int i = 1; i < samples; i++) if (!fresh[i]) sum += at[i] - at[i - 1];
        return sum;
    }
}
