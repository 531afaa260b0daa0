/**
 * Makes recordings of described buses, bit-exact, with the truth beside them. In: a {@link
 * buswitness.simulate.Scenario}, written in YAML or built in code. Out: level changes to an {@link
 * buswitness.capture.EdgeSink} and every frame's real sender to a {@link buswitness.simulate.TruthSink}. Shares no
 * decoding code, so that simulator and decoder can check each other. Threads: one simulation, one thread; deterministic
 * by seed. Memory: one block of level changes a line.
 */
package buswitness.simulate;
