package buswitness.calibrate;

import buswitness.simulate.Drive;
import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.Oscillator;
import buswitness.simulate.Power;
import buswitness.simulate.SoftwareDelay;
import java.util.ArrayList;
import java.util.List;

/** A node while a bus is being drawn up. */
final class NodeDraft {
    final String name;
    Oscillator oscillator;
    SoftwareDelay delay;
    Drive drive;
    Power power = Power.ALWAYS;
    boolean inOrder;
    double busOffReturnSeconds;
    final List<MessageDraft> messages = new ArrayList<>();

    NodeDraft(String name, Oscillator oscillator, SoftwareDelay delay, Drive drive) {
        this.name = name;
        this.oscillator = oscillator;
        this.delay = delay;
        this.drive = drive;
    }

    /** True seconds at which the node's clock shows {@code local}, its wander left out. */
    double trueAt(double local) {
        return local * (1 + oscillator.ppm() * 1e-6);
    }

    NodeBehaviour build() {
        return new NodeBehaviour(name, oscillator, delay, drive, power,
                messages.stream().map(MessageDraft::build).toList(), inOrder, true, busOffReturnSeconds);
    }
}
