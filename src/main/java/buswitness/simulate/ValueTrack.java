package buswitness.simulate;

import java.util.SplittableRandom;

/** A value source at work: asked in time order, it keeps what it must remember. */
final class ValueTrack {
    private final ValueSource source;
    private final SplittableRandom random;
    private final ValueTrack base;
    private double lastAt;
    private double value;
    private double holdUntil = Double.NEGATIVE_INFINITY;
    private double nextJump;

    ValueTrack(ValueSource source, SplittableRandom random) {
        this.source = source;
        this.random = random;
        ValueSource under = source instanceof ValueSource.Noisy noisy ? noisy.base()
                : source instanceof ValueSource.Jumping jumping ? jumping.base() : null;
        base = under == null ? null : new ValueTrack(under, random.split());
        if (source instanceof ValueSource.Walk walk) value = walk.from();
        if (source instanceof ValueSource.Jumping jumping) nextJump = random.nextExponential() / jumping.perSecond();
    }

    ValueSource source() {
        return source;
    }

    /** Whether it follows the frames and not the time: such a field never counts as a change. */
    static boolean followsFrames(ValueSource source) {
        return source instanceof ValueSource.Counter || source instanceof ValueSource.Pages
                || source instanceof ValueSource.Check;
    }

    /**
     * @param atSeconds of the simulation, never less than at the last call
     * @param frame     number of the frame it goes into, from 0
     */
    double at(double atSeconds, long frame) {
        if (source instanceof ValueSource.Constant constant) return constant.value();
        if (source instanceof ValueSource.Ramp ramp) return ramp(ramp, atSeconds);
        if (source instanceof ValueSource.Sine sine) {
            double turns = (atSeconds - sine.phaseSeconds()) / sine.periodSeconds();
            return sine.middle() + sine.amplitude() * StrictMath.sin(2 * Math.PI * (turns - Math.floor(turns)));
        }
        if (source instanceof ValueSource.Points points) return points(points, atSeconds);
        if (source instanceof ValueSource.Toggle toggle) {
            double turns = (atSeconds - toggle.phaseSeconds()) / toggle.periodSeconds();
            return turns - Math.floor(turns) < toggle.share() ? toggle.high() : toggle.low();
        }
        if (source instanceof ValueSource.Counter counter) {
            return Math.floorMod(frame * counter.step(), counter.modulo());
        }
        if (source instanceof ValueSource.Pages pages) return pages.numbers()[(int) (frame % pages.numbers().length)];
        if (source instanceof ValueSource.Walk walk) return walk(walk, atSeconds);
        if (source instanceof ValueSource.Noisy noisy) return noisy(noisy, atSeconds, frame);
        if (source instanceof ValueSource.Jumping jumping) return jumping(jumping, atSeconds, frame);
        return 0;
    }

    private static double ramp(ValueSource.Ramp ramp, double at) {
        double reached = ramp.from() + ramp.perSecond() * at;
        if (Double.isNaN(ramp.until())) return reached;
        return ramp.perSecond() >= 0 ? Math.min(reached, ramp.until()) : Math.max(reached, ramp.until());
    }

    private static double points(ValueSource.Points points, double at) {
        double[] times = points.atSeconds();
        int next = 0;
        while (next < times.length && times[next] <= at) next++;
        if (next == 0) return points.values()[0];
        double before = points.values()[next - 1];
        if (points.steps() || next == times.length) return before;
        double along = (at - times[next - 1]) / (times[next] - times[next - 1]);
        return before + along * (points.values()[next] - before);
    }

    private double walk(ValueSource.Walk walk, double at) {
        double passed = Math.max(0, at - lastAt);
        lastAt = Math.max(at, lastAt);
        value += walk.perRootSecond() * StrictMath.sqrt(passed) * random.nextGaussian();
        if (value > walk.high()) value = Math.max(walk.low(), 2 * walk.high() - value);
        if (value < walk.low()) value = Math.min(walk.high(), 2 * walk.low() - value);
        return value;
    }

    private double noisy(ValueSource.Noisy noisy, double at, long frame) {
        if (at >= holdUntil) {
            value = noisy.deviation() * random.nextGaussian();
            holdUntil = at + noisy.holdSeconds();
        }
        return base.at(at, frame) + value;
    }

    private double jumping(ValueSource.Jumping jumping, double at, long frame) {
        while (nextJump <= at) {
            holdUntil = nextJump + jumping.lastsSeconds() * random.nextExponential();
            nextJump = holdUntil + random.nextExponential() / jumping.perSecond();
        }
        double steady = base.at(at, frame);
        return at < holdUntil ? jumping.to() : steady;
    }
}
