/**
 * What a recording shows while it is being taken. In: level changes as they come, from the recording's thread, which is never
 * held up. Out: {@link buswitness.live.LiveState}, the same analysis as {@code prove} over the newest frames, and a server on
 * this computer alone that hands it to a page. Threads: one decodes, one judges, some serve; all end with
 * {@link buswitness.live.LiveView#close}. Memory is bounded however long it runs.
 */
package buswitness.live;
