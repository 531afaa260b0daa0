/**
 * The layout of a bus, found from recordings: messages and their timing, senders, payload structure, what answers what, what
 * was done and seen. In: {@link buswitness.Findings} of one recording or several, deeds, a layout where there is one. Out:
 * {@link buswitness.map.BusMap}, layout text, differences from a layout. Threads: pure; the results are immutable.
 */
package buswitness.map;
