/**
 * Plain numbers: robust spread, intervals, straight-line fits with error, special functions that the reference
 * library lacks. In: arrays of double. Out: immutable results. Threads: static and pure, or one writer each.
 */
package buswitness.stats;
