package buswitness.map;

import java.util.List;

/**
 * What a recording with one node unplugged says.
 *
 * @param node   as the user calls it
 * @param own    messages that fall silent with it and carry its clock or wire
 * @param depend messages that fall silent too, but are not its own as far as is known
 * @param sender index into {@link BusMap#senders()}, -1 where not settled
 * @param says   sentences about the comparison
 */
public record Dependence(String node, String source, boolean fits, List<Long> own, List<Long> depend, int sender,
                         List<String> says) {
    public Dependence {
        own = List.copyOf(own);
        depend = List.copyOf(depend);
        says = List.copyOf(says);
    }
}
