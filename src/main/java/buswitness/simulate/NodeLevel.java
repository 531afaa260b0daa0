package buswitness.simulate;

/**
 * Where a node puts the line while it alone drives it, seen by a recorder of voltages.
 *
 * @param volts        of the line then
 * @param driftVolts   by how much that has moved, in the end, for heat or a bad ground
 * @param driftSeconds time constant of it
 * @param loadVolts    by how much it moves while one of the node's loads is on
 * @param loadSeconds  period of that load; 0 for none
 * @param loadShare    of the period that it is on, 0 to 1
 */
public record NodeLevel(double volts, double driftVolts, double driftSeconds, double loadVolts, double loadSeconds,
                        double loadShare) {
    /** Two volts between the wires of a pair, as ISO 11898-2 has it in the middle of its range (from memory). */
    public static final NodeLevel USUAL = of(2);

    public NodeLevel {
        if (!(driftSeconds > 0)) throw new IllegalArgumentException("a drift takes time");
        if (!(loadSeconds >= 0 && loadShare >= 0 && loadShare <= 1)) {
            throw new IllegalArgumentException("a load out of range");
        }
    }

    public static NodeLevel of(double volts) {
        return new NodeLevel(volts, 0, 60, 0, 0, 0.5);
    }

    double at(double seconds) {
        double moved = driftVolts == 0 ? 0 : driftVolts * -StrictMath.expm1(-seconds / driftSeconds);
        boolean loaded = loadSeconds > 0 && seconds % loadSeconds < loadShare * loadSeconds;
        return volts + moved + (loaded ? loadVolts : 0);
    }
}
