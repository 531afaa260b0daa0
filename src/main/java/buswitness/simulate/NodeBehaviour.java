package buswitness.simulate;

import java.util.List;

/**
 * A node and all its habits.
 *
 * @param name               unique in the scenario
 * @param sendsInOrder       its frames leave in the order they were released; else the highest priority first
 * @param acknowledges       false for a node that only listens
 * @param busOffReturnSeconds after going bus-off it waits so long before it counts the 128 pauses; 0 at once, positive
 *                            infinity never
 * @param habits             what only buses other than CAN know
 */
public record NodeBehaviour(String name, Oscillator oscillator, SoftwareDelay delay, Drive drive, Power power,
                            List<Sending> sends, boolean sendsInOrder, boolean acknowledges,
                            double busOffReturnSeconds, Habits habits) {
    public NodeBehaviour {
        sends = List.copyOf(sends);
    }

    /** A node without habits of other buses. */
    public NodeBehaviour(String name, Oscillator oscillator, SoftwareDelay delay, Drive drive, Power power,
                         List<Sending> sends, boolean sendsInOrder, boolean acknowledges, double busOffReturnSeconds) {
        this(name, oscillator, delay, drive, power, sends, sendsInOrder, acknowledges, busOffReturnSeconds,
                Habits.USUAL);
    }

    /** A true clock, no delay, a clean drive, sending nothing, returning from bus-off at once. */
    public static NodeBehaviour named(String name) {
        return new NodeBehaviour(name, Oscillator.TRUE, SoftwareDelay.NONE, Drive.CLEAN, Power.ALWAYS, List.of(), false,
                true, 0);
    }

    public NodeBehaviour withOscillator(Oscillator other) {
        return new NodeBehaviour(name, other, delay, drive, power, sends, sendsInOrder, acknowledges,
                busOffReturnSeconds, habits);
    }

    public NodeBehaviour withDelay(SoftwareDelay other) {
        return new NodeBehaviour(name, oscillator, other, drive, power, sends, sendsInOrder, acknowledges,
                busOffReturnSeconds, habits);
    }

    public NodeBehaviour withDrive(Drive other) {
        return new NodeBehaviour(name, oscillator, delay, other, power, sends, sendsInOrder, acknowledges,
                busOffReturnSeconds, habits);
    }

    public NodeBehaviour withPower(Power other) {
        return new NodeBehaviour(name, oscillator, delay, drive, other, sends, sendsInOrder, acknowledges,
                busOffReturnSeconds, habits);
    }

    public NodeBehaviour withSends(List<Sending> other) {
        return new NodeBehaviour(name, oscillator, delay, drive, power, other, sendsInOrder, acknowledges,
                busOffReturnSeconds, habits);
    }

    public NodeBehaviour withOrder(boolean inOrder) {
        return new NodeBehaviour(name, oscillator, delay, drive, power, sends, inOrder, acknowledges,
                busOffReturnSeconds, habits);
    }

    public NodeBehaviour withAcknowledge(boolean does) {
        return new NodeBehaviour(name, oscillator, delay, drive, power, sends, sendsInOrder, does,
                busOffReturnSeconds, habits);
    }

    public NodeBehaviour withBusOffReturn(double seconds) {
        return new NodeBehaviour(name, oscillator, delay, drive, power, sends, sendsInOrder, acknowledges, seconds,
                habits);
    }

    public NodeBehaviour withHabits(Habits other) {
        return new NodeBehaviour(name, oscillator, delay, drive, power, sends, sendsInOrder, acknowledges,
                busOffReturnSeconds, other);
    }
}
