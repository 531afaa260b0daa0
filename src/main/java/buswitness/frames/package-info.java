/**
 * Bits to frames: which bus it is, framing and check of each, whole and damaged frames, wire timing of each. CAN and CAN FD
 * are read by hand-written framings, every other bus by one of three that a {@link buswitness.schema.BusFormat} drives.
 * In: bit runs, or rows of a frame table. Out: a {@link buswitness.frames.FrameLog}, in time order, with nothing on the
 * wire dropped silently. Threads: one writer; a finished log is free to share. Memory: tens of bytes a frame.
 */
package buswitness.frames;
