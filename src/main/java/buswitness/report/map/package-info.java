/**
 * Maps to text, JSON, Markdown and HTML. In: {@link buswitness.map.BusMap}. Out: bytes; same map, same bytes. Threads:
 * pure.
 */
package buswitness.report.map;
