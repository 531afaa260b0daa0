/**
 * Wire time to bits: bit rate and polarity from the edges alone, glitches filtered, resynchronising; or level changes as
 * they are, for buses whose symbols are told by their length. In: {@link buswitness.capture.EdgeBlock}s of one line. Out:
 * blocks of runs (level, bits, start), what was found about rate and polarity, each with a confidence, and the first
 * changes for a trial reading ({@link buswitness.bits.LineHead}). Threads: one decoder per line, one thread.
 */
package buswitness.bits;
