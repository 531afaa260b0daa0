/**
 * Who sent what: schedules separated, clocks fitted, messages grouped by clock, frames attributed.
 * In: a finished {@link buswitness.frames.FrameLog}, names from a layout where there is one. Out:
 * {@link buswitness.senders.SenderFindings}. Threads: pure; the findings are immutable.
 */
package buswitness.senders;
