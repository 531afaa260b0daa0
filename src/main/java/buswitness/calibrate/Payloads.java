package buswitness.calibrate;

import buswitness.simulate.Field;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.List;

/** Draws payloads. */
final class Payloads {
    private Payloads() {}

    /** Fields as a body message may have them, byte by byte. */
    static List<Field> any(BusDraft bus, int length) {
        List<Field> fields = new ArrayList<>();
        for (int at = 0; at < length; at++) {
            double kind = bus.dice.nextDouble();
            if (kind < 0.25) fields.add(byteOf(at, new ValueSource.Constant(bus.dice.nextInt(256))));
            else if (kind < 0.45) fields.add(byteOf(at, walk(bus)));
            else if (kind < 0.55) fields.add(byteOf(at, sine(bus)));
            else if (kind < 0.68) fields.add(Field.of(8 * at + bus.dice.nextInt(8), 1, toggle(bus, 1)));
            else if (kind < 0.73) {
                fields.add(byteOf(at, new ValueSource.Noisy(new ValueSource.Constant(bus.uniform(40, 200)),
                        bus.uniform(0.3, 3), 0)));
            }
        }
        if (length >= 2 && bus.chance(0.2)) counter(bus, fields, length);
        return fields;
    }

    /** Only values that two nodes reading the same thing would show alike. */
    static List<Field> settled(BusDraft bus, int length) {
        List<Field> fields = new ArrayList<>();
        for (int at = 0; at < length; at++) {
            double kind = bus.dice.nextDouble();
            if (kind < 0.6) fields.add(byteOf(at, new ValueSource.Constant(bus.dice.nextInt(256))));
            else if (kind < 0.75) fields.add(byteOf(at, sine(bus)));
            else if (kind < 0.9) fields.add(Field.of(8 * at + bus.dice.nextInt(8), 1, toggle(bus, 1)));
        }
        return fields;
    }

    static void counter(BusDraft bus, List<Field> fields, int length) {
        fields.add(Field.of(8 * (length - 1) + 4, 4, new ValueSource.Counter(bus.chance(0.5) ? 16 : 15, 1)));
    }

    static Field byteOf(int at, ValueSource source) {
        return Field.of(8 * at, 8, source);
    }

    static ValueSource walk(BusDraft bus) {
        return new ValueSource.Walk(bus.uniform(40, 200), bus.logUniform(0.2, 20), 0, 255);
    }

    static ValueSource sine(BusDraft bus) {
        double period = bus.logUniform(2, 60);
        return new ValueSource.Sine(bus.uniform(80, 170), bus.uniform(5, 80), period, bus.uniform(0, period));
    }

    static ValueSource toggle(BusDraft bus, double high) {
        double period = bus.logUniform(0.7, 20);
        return new ValueSource.Toggle(0, high, period, bus.uniform(0.2, 0.8), bus.uniform(0, period));
    }
}
