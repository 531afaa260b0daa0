package buswitness.predict;

import buswitness.instruments.Cause;
import buswitness.instruments.Symptom;
import buswitness.instruments.Trace;
import buswitness.schema.Instrument;
import java.util.Map;

/**
 * What a driver would see of one gauge or lamp, over all simulated drives.
 *
 * @param drives      that were simulated
 * @param symptoms    how many drives showed each; those without are absent
 * @param worst       the symptom most drives show, {@code NONE} where no drive shows another
 * @param cause       of {@code worst}, in the middle drive
 * @param perMinute   sudden turns or changes a minute, in drives that show {@code worst}
 * @param low         lower value it is told, in the same drives; needles only
 * @param high        upper value it is told
 * @param swing       how far the needle moves from one sudden turn to the next, median of each such drive, share of travel
 * @param needleLow   lowest place of the needle after it has settled, share of travel, over all drives
 * @param needleHigh  highest
 * @param litShare    lamps: share of time lit, over all drives
 * @param trace       of the middle drive; {@code sender} indexes {@link Forecast#senders()}
 * @param traceDrive  which drive that is, from 1
 */
public record InstrumentOutlook(Instrument instrument, boolean lamp, int drives, Map<Symptom, Integer> symptoms,
                                Symptom worst, Cause cause, Spread perMinute, Spread low, Spread high,
                                Spread swing, Spread needleLow, Spread needleHigh, Spread litShare, Trace trace,
                                int traceDrive) {
    public InstrumentOutlook {
        symptoms = Map.copyOf(symptoms);
    }

    /** Drives in which it misbehaves in some way. */
    public int suffering() {
        return drives - symptoms.getOrDefault(Symptom.NONE, 0);
    }
}
