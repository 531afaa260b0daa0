package buswitness.simulate;

import buswitness.schema.BusFormat;

/**
 * A bus other than classical CAN.
 *
 * @param format how it speaks
 * @param slots  the master's schedule where it has one, else null
 */
public record BusKind(BusFormat format, SlotTable slots) {}
