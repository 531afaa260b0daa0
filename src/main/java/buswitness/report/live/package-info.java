/**
 * A recording being taken, as a screen and a page that change with it. In: {@link buswitness.live.LiveState}. Out: lines
 * and JSON. Threads: pure.
 */
package buswitness.report.live;
