/**
 * Wire time to bits: line coding, bit rate and polarity from the edges alone, glitches filtered, resynchronising.
 * In: {@link buswitness.capture.EdgeBlock}s of one line. Out: blocks of bit runs (level, bits, start), and what was
 * found about rate, polarity and glitches, each with a confidence. Threads: one decoder per line, one thread.
 */
package buswitness.bits;
