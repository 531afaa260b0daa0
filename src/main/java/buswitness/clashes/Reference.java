package buswitness.clashes;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.senders.SenderFindings;

/**
 * A recording of the same bus with one node unplugged and the rest left in place.
 *
 * @param node   the node that was unplugged, as the user calls it
 * @param source file
 */
public record Reference(String node, String source, FrameLog log, BusInfo bus, SenderFindings senders) {}
