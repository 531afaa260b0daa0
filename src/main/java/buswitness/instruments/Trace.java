package buswitness.instruments;

/**
 * What an instrument was told and what it showed, sample by sample (one a frame that carries its signal, plus one where
 * it times out). Arrays are parallel and not to be changed.
 *
 * @param atSeconds when
 * @param told      the signal's value, in its unit; NaN at a time-out
 * @param shown     needle: share of its travel, 0 to 1, just before this sample takes effect; lamp: 0 dark, 1 lit,
 *                  from this instant on
 * @param sender    index of the frame's sender in the clash findings, -1 undetermined or time-out
 */
public record Trace(double[] atSeconds, float[] told, float[] shown, int[] sender) {}
