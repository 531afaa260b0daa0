package buswitness.simulate;

import buswitness.problem.InputFault;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Set;

/** Values by signal name, inner ones before outer ones: of the message, of the node, of the scenario. */
final class ValueTable {
    private final Map<String, ValueSource> values = new HashMap<>();
    private final ValueTable outer;

    private ValueTable(ValueTable outer) {
        this.outer = outer;
    }

    static ValueTable empty() {
        return new ValueTable(null);
    }

    /**
     * @param map    may be null
     * @param within only this message's signals may be named; null for all of the layout
     * @throws InputFault at a name that no message carries
     */
    ValueTable with(YamlValue map, Layout layout, Message within) {
        ValueTable table = new ValueTable(this);
        if (map == null) return table;
        YamlMap entries = map.map();
        Set<String> known = new LinkedHashSet<>();
        for (Message message : layout.messages()) {
            if (within != null && message != within) continue;
            for (Signal signal : message.carries()) {
                known.add(signal.name());
                if (within == null) known.add(message.name() + " / " + signal.name());
            }
        }
        entries.allow(known);
        for (String name : entries.keys()) table.values.put(name, ValueReader.read(entries.get(name)));
        return table;
    }

    /** Null where nobody says. */
    ValueSource find(Message message, Signal signal) {
        ValueSource full = values.get(message.name() + " / " + signal.name());
        if (full != null) return full;
        ValueSource own = values.get(signal.name());
        if (own != null) return own;
        return outer == null ? null : outer.find(message, signal);
    }
}
