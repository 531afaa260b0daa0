/**
 * Bits to frames: framing and check of each bus, whole and damaged frames, wire timing of each.
 * In: bit runs, or rows of a frame table. Out: a {@link buswitness.frames.FrameLog}, in time order, with nothing on the
 * wire dropped silently. Threads: one writer; a finished log is free to share. Memory: tens of bytes a frame.
 */
package buswitness.frames;
