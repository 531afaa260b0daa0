package buswitness.simulate;

import java.util.ArrayList;
import java.util.List;

/** Small scenarios for tests: 125 kbit/s, true clocks, clean drives, a picosecond recorder. */
final class Buses {
    static final double RATE = 125_000;
    static final double BIT = 8e6;

    private Buses() {}

    static Scenario bus(double seconds, NodeBehaviour... nodes) {
        return Scenario.of(RATE, seconds, 1, List.of(nodes)).withRecorder(
                RecorderBehaviour.MICROSECOND.withTick(1));
    }

    /** A base-format message with a fixed payload at given instants. */
    static Sending message(int identifier, byte[] data, double... at) {
        return new Sending(identifier, false, false, data.length, List.of(new Trigger.AtTimes(at)), fixed(data), 0);
    }

    static List<Field> fixed(byte[] data) {
        List<Field> fields = new ArrayList<>();
        for (int i = 0; i < data.length; i++) {
            fields.add(Field.of(8 * i, 8, new ValueSource.Constant(data[i] & 0xFF)));
        }
        return fields;
    }

    static NodeBehaviour node(String name, Sending... sends) {
        return NodeBehaviour.named(name).withSends(List.of(sends));
    }

    static byte[] hex(String text) {
        return java.util.HexFormat.of().parseHex(text.replace(" ", ""));
    }
}
