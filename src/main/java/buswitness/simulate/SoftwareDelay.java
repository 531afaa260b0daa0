package buswitness.simulate;

import java.util.random.RandomGenerator;

/**
 * What passes between a timer's tick and the frame lying ready in the controller. The same tick of one node delays all
 * the messages it releases alike.
 *
 * @param fixedSeconds   always
 * @param uniformSeconds plus something from 0 to this
 * @param tailSeconds    plus an exponential tail of this mean
 */
public record SoftwareDelay(double fixedSeconds, double uniformSeconds, double tailSeconds) {
    public static final SoftwareDelay NONE = new SoftwareDelay(0, 0, 0);

    public SoftwareDelay {
        if (!(fixedSeconds >= 0 && uniformSeconds >= 0 && tailSeconds >= 0)) {
            throw new IllegalArgumentException("a delay is below 0");
        }
    }

    double draw(RandomGenerator random) {
        return fixedSeconds + uniformSeconds * random.nextDouble()
                + (tailSeconds > 0 ? tailSeconds * random.nextExponential() : 0);
    }
}
