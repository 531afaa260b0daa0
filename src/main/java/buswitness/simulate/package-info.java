/**
 * Makes recordings of described buses, bit-exact, with the truth beside them. In: a scenario. Out: level changes and
 * every frame's real sender. Shares no decoding code, so that simulator and decoder can check each other. Threads:
 * one simulation, one thread; deterministic by seed.
 */
package buswitness.simulate;
