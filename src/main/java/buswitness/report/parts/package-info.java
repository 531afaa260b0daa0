/**
 * What every report is made of: figures with their units, names that steer no screen, sentences, marks of senders,
 * cautions, the frame of a page. In: texts and numbers. Out: pieces of reports, for the packages beside this one, so each
 * class here is public. Threads: pure.
 */
package buswitness.report.parts;
