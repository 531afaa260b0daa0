/**
 * Benchmarks (JMH), in their own profile and never part of the tests. Each checks its answer in set-up, so that a fast
 * wrong answer cannot pass. How to run them: DEVELOPERS.md, "Measuring speed".
 */
package buswitness.bench;
