package buswitness.cli;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.Findings;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.frames.MessageKey;
import buswitness.problem.Progress;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.TreeMap;

/**
 * Measures how often levels tell two senders apart and how often they accuse one: random buses of voltages, half of them with
 * one unit that sends a message on two timers while its level drifts, follows a load or the supply. Not a test; see
 * analysis-notes/levels.md. Words: first seed, number of seeds, and a third one to see the buses.
 */
final class LevelRates {
    private static final double[] SHARES = {0.5, 1, 2, 3, 5};

    private final SplittableRandom random;

    private LevelRates(long seed) {
        random = new SplittableRandom(seed);
    }

    public static void main(String[] words) throws Exception {
        long first = Long.parseLong(words[0]);
        TreeMap<String, Integer> counts = new TreeMap<>();
        Path folder = Files.createTempDirectory("levels");
        for (long seed = first; seed < first + Long.parseLong(words[1]); seed++) {
            for (double share : new double[] {0, SHARES[(int) (seed % SHARES.length)]}) {
                String bus = new LevelRates(seed * 2 + (share > 0 ? 1 : 0)).bus(seed, share);
                Path scenario = Files.writeString(folder.resolve("x.scenario.yaml"), bus);
                CommandRun run = CommandRun.of("simulate", scenario.toString(), "--out", folder.resolve("x.wav").toString());
                if (run.status() != 0) throw new IllegalStateException(run.err());
                String said = judged(Analysis.prove(AnalysisOptions.of(folder.resolve("x.wav")), Progress.SILENT));
                String kind = share == 0 ? "one unit" : String.format(Locale.ROOT, "two units %.1f %% apart", share);
                counts.merge(kind + ": " + said, 1, Integer::sum);
                boolean wrong = share == 0 && (said.contains("counts") || said.contains("two senders"));
                if (words.length > 2 || wrong) System.out.println("seed " + seed + ": " + said + "\n" + bus);
            }
        }
        counts.forEach((k, n) -> System.out.println(n + " x " + k));
    }

    private static String judged(Findings findings) {
        MessageFinding m = findings.clashes().message(MessageKey.can(0x100, false));
        if (m == null) return "not seen";
        String levels = "levels say nothing";
        for (Evidence e : m.evidence()) {
            if (e.kind() != Evidence.Kind.WIRE) continue;
            String says = e.says();
            if (says.contains("levels are alike")) levels = "levels alike";
            if (says.contains("levels differ")) {
                int but = says.indexOf("But ", says.indexOf("levels differ"));
                levels = but < 0 ? "levels differ and counts" : "levels differ, open: " + says.substring(but, but + 40);
            }
        }
        return levels + "; " + m.verdict().text();
    }

    private int any(int... of) {
        return of[random.nextInt(of.length)];
    }

    private String own(int base, int count) {
        StringBuilder out = new StringBuilder();
        for (int i = 0; i < count; i++) {
            out.append(String.format(Locale.ROOT, ", o%d: {id: 0x%X, length: %d, every: %d ms, filler: 0x%02X}", base + i,
                    base + 16 * i, random.nextInt(2, 9), any(20, 25, 40, 50), random.nextInt(256)));
        }
        return out.toString();
    }

    private String bus(long seed, double share) {
        int rate = any(50, 83, 100, 125);
        int every = any(50, 100);
        int ppm = any(40, 70, 120);
        double level = random.nextDouble(1.7, 2.3);
        String moves = switch (random.nextInt(3)) {
            case 0 -> "";
            case 1 -> String.format(Locale.ROOT, "level drifts: {by: %d mV, over: %d s}, ", random.nextInt(-300, 301),
                    random.nextInt(3, 21));
            default -> String.format(Locale.ROOT, "load: {by: %d mV, every: %d ms, on: %d %%}, ", random.nextInt(30, 201),
                    any(every, 2 * every, 333, 1300, 700), random.nextInt(10, 91));
        };
        String message = String.format(Locale.ROOT, "id: 0x100, length: 8, every: %d ms, filler: 0x%02X", every,
                random.nextInt(256));
        StringBuilder out = new StringBuilder(String.format(Locale.ROOT, "rate: %d kbit/s%nduration: 12 s%nseed: %d%nnodes:%n",
                rate, seed));
        String second = share > 0 ? "" : String.format(Locale.ROOT, ", forwarded: {every: %d ms, clock: %d ppm}", every, ppm);
        out.append(String.format(Locale.ROOT, "  A: {clock: 10 ppm, level: %.4f V, %ssends: {m: {%s%s}%s}}%n", level, moves,
                message, second, own(0x110, share > 0 ? 2 : 3)));
        if (share > 0) {
            out.append(String.format(Locale.ROOT, "  B: {clock: %d ppm, level: %.4f V, sends: {m: {%s}%s}}%n", 10 - ppm,
                    level * (1 + share / 100), message, own(0x210, 2)));
        } else {
            out.append(String.format(Locale.ROOT, "  B: {clock: -20 ppm, level: %.4f V, sends: {%s}}%n",
                    random.nextDouble(1.7, 2.3), own(0x210, 2).substring(2)));
        }
        out.append(String.format(Locale.ROOT, "  C: {level: %.3f V}%nrecorder: {samples: %d kHz, edge: %d ns, noise: %d mV%s%s}%n",
                random.nextDouble(1.7, 2.3), rate * any(6, 8, 10), any(100, 300, 1000), any(5, 20, 60),
                random.nextInt(3) == 0 ? ", coupling: " + any(5, 50, 300) + " Hz" : "",
                random.nextInt(2) == 0 ? "" : ", dips: [{at: 3 s, for: 2 s, by: 12 %}, {at: 8 s, for: 40 ms, by: 30 %}]"));
        return out.toString();
    }
}
