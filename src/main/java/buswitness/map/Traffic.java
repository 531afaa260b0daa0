package buswitness.map;

import buswitness.Findings;
import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** The frames of one recording by message, ascending by key. Messages seen once only, in damage or by chance, are kept. */
final class Traffic {
    final Findings findings;
    final Map<Long, MessageFacts> messages = new TreeMap<>();

    Traffic(Findings findings) {
        this.findings = findings;
        FrameLog log = findings.frames();
        Map<Long, List<Integer>> frames = new TreeMap<>();
        Map<Long, Integer> remote = new HashMap<>();
        for (int i = 0; i < log.size(); i++) {
            if (!log.isWhole(i)) continue;
            if (log.isRemote(i)) remote.merge(log.key(i), 1, Integer::sum);
            else frames.computeIfAbsent(log.key(i), k -> new ArrayList<>()).add(i);
        }
        frames.forEach((key, list) -> messages.put(key, new MessageFacts(findings, key,
                list.stream().mapToInt(i -> i).toArray(), remote.getOrDefault(key, 0))));
    }

    double seconds() {
        return findings.bus().durationPicos() * 1e-12;
    }
}
