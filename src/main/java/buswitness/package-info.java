/**
 * The library's front door: {@link buswitness.Analysis} runs the stages capture, bits, frames, senders, clashes and
 * instruments in that order. In: a recording and perhaps a layout. Out: {@link buswitness.Findings}. Threads: one
 * analysis, one thread.
 */
package buswitness;
