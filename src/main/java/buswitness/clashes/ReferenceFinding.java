package buswitness.clashes;

import java.util.List;

/**
 * What a recording with one node unplugged says of that node.
 *
 * @param node   the unplugged node
 * @param source file
 * @param fits   whether it can be compared with the recording that is judged
 * @param says   sentences: what fell silent, what is that node's own, what does not fit
 * @param silent messages that are in the judged recording and not in this one, ascending
 * @param sender index into {@link ClashFindings#senders()} of the sender that is this node, -1 where not settled
 */
public record ReferenceFinding(String node, String source, boolean fits, List<String> says, List<Long> silent,
                               int sender) {
    public ReferenceFinding {
        says = List.copyOf(says);
        silent = List.copyOf(silent);
    }
}
