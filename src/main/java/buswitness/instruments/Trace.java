package buswitness.instruments;

/**
 * What an instrument was told and what it showed, sample by sample: one a frame that carries its signal, one where it
 * times out, and one where a gap in the recording begins. Arrays are parallel and not to be changed.
 *
 * @param atSeconds when: start of the frame, in ascending order
 * @param told      the signal's value, in its unit; NaN at a time-out and at a gap
 * @param shown     needle: share of its travel, 0 to 1, just before this sample takes effect; lamp: 0 dark, 1 lit,
 *                  from this instant on; NaN where a gap begins: nothing is known until the next sample
 * @param sender    index of the frame's sender in the clash findings, -1 undetermined, time-out or gap
 */
public record Trace(double[] atSeconds, float[] told, float[] shown, int[] sender) {}
