package buswitness.clashes;

import buswitness.frames.FrameLevels;
import buswitness.frames.FrameLog;
import java.util.Arrays;

/**
 * How high the line stands while one sender alone drives it, over its whole frames.
 *
 * @param unit      {@code V}, {@code mV}, or {@code FS} for the full scale of a WAV
 * @param dominant  mean level of its dominant bits
 * @param recessive of the recessive bits between them
 * @param step      mean step between the two, without sign
 * @param stepError one standard error of it
 * @param frames    so many showed it
 */
public record SenderLevel(String unit, double dominant, double recessive, double step, double stepError, int frames) {

    /** Null where the recording holds no voltages, or too few of the sender's frames show theirs. */
    public static SenderLevel of(FrameLog log, ClashFindings findings, int sender) {
        FrameLevels levels = log.levels();
        if (levels == null) return null;
        int[] frames = new int[log.size()];
        int n = 0;
        double dominant = 0;
        double recessive = 0;
        for (int i = 0; i < frames.length; i++) {
            if (!log.isWhole(i) || findings.senderOf(i) != sender || Float.isNaN(levels.swing(i))) continue;
            frames[n++] = i;
            dominant += levels.dominant(i);
            recessive += levels.recessive(i);
        }
        if (n < LevelSeries.FEWEST) return null;
        LevelSeries series = LevelSeries.of(log, Arrays.copyOf(frames, n));
        return new SenderLevel(levels.unit(), dominant / n, recessive / n, Math.abs(series.mean()), series.meanError(), n);
    }
}
