package buswitness.simulate;

import java.util.SplittableRandom;

/** One further line of the recorder at work. */
final class ExtraRunner {
    private static final double SLOWEST_HERTZ = 0.01;
    private static final double LOOK_AGAIN_SECONDS = 0.05;
    private final ExtraLine line;
    private final Tap tap;
    private final ValueTrack hertz;
    private double phase;
    private double atSeconds;
    private int level;
    private int nextTurn;

    ExtraRunner(ExtraLine line, Tap tap, SplittableRandom random) {
        this.line = line;
        this.tap = tap;
        hertz = line instanceof ExtraLine.PulseTrain train ? new ValueTrack(train.hertz(), random) : null;
        // A pulse train starts with its low part, as a tap taken at level 0 must.
        phase = line instanceof ExtraLine.PulseTrain train ? train.share() : 0;
    }

    /** Makes every change before an instant and hands it on. */
    void advance(long untilPicos) {
        if (line instanceof ExtraLine.PulseTrain train) pulses(train, untilPicos * 1e-12);
        else turns((ExtraLine.Switch) line, untilPicos);
        tap.handOn();
    }

    private void pulses(ExtraLine.PulseTrain train, double until) {
        while (atSeconds < until) {
            double rate = hertz.at(atSeconds, 0);
            if (rate < SLOWEST_HERTZ) {
                atSeconds += LOOK_AGAIN_SECONDS;
                continue;
            }
            double left = (level == 1 ? train.share() : 1) - phase;
            // The rate is looked at again on the way through a slow pulse, so that it can speed up within one.
            if (left / rate > LOOK_AGAIN_SECONDS) {
                phase += rate * LOOK_AGAIN_SECONDS;
                atSeconds += LOOK_AGAIN_SECONDS;
                continue;
            }
            atSeconds += left / rate;
            level = 1 - level;
            phase = level == 1 ? 0 : train.share();
            tap.change(Math.round(atSeconds * 1e12), level);
        }
    }

    private void turns(ExtraLine.Switch turned, long until) {
        double[] times = turned.atSeconds();
        while (nextTurn < times.length && times[nextTurn] * 1e12 < until) {
            double at = times[nextTurn++];
            for (int i = 0; i <= 2 * turned.bounces(); i++) {
                level = 1 - level;
                tap.change(Math.round((at + i * turned.bounceSeconds()) * 1e12), level);
            }
        }
    }

    void finish() {
        tap.finish();
    }
}
