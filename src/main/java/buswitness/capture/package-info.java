/**
 * Recordings in and out: bytes of any known form to blocks of level changes, or to rows of a frame table.
 * In: a file, recognised by content. Out: {@link buswitness.capture.EdgeBlock}s to an
 * {@link buswitness.capture.EdgeSink}, gaps and damage named. Threads: one reader, one thread; memory is a few
 * blocks of changes whatever the length of the recording. The forms are described in captures/README.md.
 */
package buswitness.capture;
