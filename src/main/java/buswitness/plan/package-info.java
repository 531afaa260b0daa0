/**
 * Install plans and their evidence: is this build finished, step by step, in writing? In: a plan (YAML), recordings or
 * what a person saw. Out: {@link buswitness.plan.Judgement}s with value, uncertainty, verdict and place, kept in an
 * evidence file of chained lines ({@link buswitness.plan.EvidenceFile}). Threads: plans and judgements are immutable;
 * two processes on one evidence file take turns.
 */
package buswitness.plan;
