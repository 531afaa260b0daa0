/**
 * Recordings taken live from a serial probe, and an emulated probe. In: bytes of a port in our line protocol
 * (captures/probe-protocol.md). Out: a compact recording on disk, whole up to the last second whatever happens. Threads: one
 * that records; marks and the wish to stop may come from another.
 */
package buswitness.probe;
