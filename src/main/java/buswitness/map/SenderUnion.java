package buswitness.map;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;

/**
 * Senders of several recordings made one list. A sender of a later recording is the sender of the first with which it shares
 * messages; where it shares some with two, its further messages stay without one.
 */
final class SenderUnion {
    /** One sender over all recordings: its group in each, null where it is silent there. */
    static final class Entry {
        final SenderGroups.Group[] in;
        final TreeSet<Long> keys = new TreeSet<>();

        Entry(int recordings) {
            in = new SenderGroups.Group[recordings];
        }

        SenderGroups.Group best() {
            for (SenderGroups.Group g : in) if (g != null) return g;
            throw new IllegalStateException("a sender without a recording");
        }
    }

    final List<Entry> entries = new ArrayList<>();
    private final List<Map<SenderGroups.Group, Entry>> entryOf = new ArrayList<>();

    SenderUnion(List<SenderGroups> recordings) {
        for (int r = 0; r < recordings.size(); r++) {
            Map<SenderGroups.Group, Entry> here = new HashMap<>();
            entryOf.add(here);
            List<SenderGroups.Group> strangers = new ArrayList<>();
            for (SenderGroups.Group g : recordings.get(r).groups) {
                List<Entry> sharing = new ArrayList<>();
                for (Entry e : entries) if (e.keys.stream().anyMatch(g.keys::contains)) sharing.add(e);
                if (sharing.size() == 1 && sharing.get(0).in[r] == null) {
                    sharing.get(0).in[r] = g;
                    here.put(g, sharing.get(0));
                } else if (sharing.isEmpty()) {
                    strangers.add(g);
                }
            }
            for (SenderGroups.Group g : here.keySet()) here.get(g).keys.addAll(g.keys);
            for (SenderGroups.Group g : strangers) {
                Entry e = new Entry(recordings.size());
                e.in[r] = g;
                e.keys.addAll(g.keys);
                entries.add(e);
                here.put(g, e);
            }
        }
    }

    /** Index of the sender that a recording's group belongs to, -1 where not settled. */
    int indexOf(int recording, SenderGroups.Group group) {
        Entry e = entryOf.get(recording).get(group);
        return e == null ? -1 : entries.indexOf(e);
    }

    /** Senders of a message: as the recording says that shows it best. */
    List<Integer> sendersOf(long key, int recording, SenderGroups groups) {
        List<Integer> all = new ArrayList<>();
        for (SenderGroups.Group g : groups.ofMessage.getOrDefault(key, List.of())) {
            int at = indexOf(recording, g);
            if (at >= 0) all.add(at);
        }
        if (!all.isEmpty()) return all;
        for (int i = 0; i < entries.size(); i++) if (entries.get(i).keys.contains(key)) all.add(i);
        return all.size() == 1 ? all : List.of();
    }
}
