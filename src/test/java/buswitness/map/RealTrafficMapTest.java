package buswitness.map;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.Findings;
import buswitness.capture.ReadOptions;
import buswitness.problem.Progress;
import buswitness.senders.Track;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/**
 * A map of one real car's clean traffic holds together: D. Stabili, L. Ferretti, M. Andreolini, M. Marchetti, IEEE
 * Transactions on Vehicular Technology 2022, doi 10.1109/TVT.2022.3190721 (MIT licence). Nobody knows its papers, so only
 * what must be true of any map is checked. Left out, and said so, where the file is not there.
 */
class RealTrafficMapTest {
    private static final Path FILE = Path.of(Optional.ofNullable(System.getProperty("buswitness.v40"))
            .or(() -> Optional.ofNullable(System.getenv("BUSWITNESS_V40"))).orElse("../shared/data/v40")).resolve("clean.zip");

    @Test
    void aMapOfRealTrafficHoldsTogether() {
        assumeTrue(Files.exists(FILE), "left out: " + FILE + " is not there");
        Findings findings = Analysis.judge(Analysis.read(new AnalysisOptions(FILE, null, false, null, Double.NaN,
                new ReadOptions(null, Path.of("captures/one-car.columns.yaml"))), Progress.SILENT), Progress.SILENT);
        BusMap map = Maps.draw(List.of(findings), List.of(), null, null);
        double seconds = findings.bus().durationPicos() * 1e-12;
        int cyclic = 0;
        for (MapMessage m : map.messages()) {
            for (Rhythm r : m.rhythms()) {
                cyclic++;
                double due = (m.lastSeconds() - m.firstSeconds()) / r.periodSeconds() + 1;
                assertTrue(r.periodSeconds() > 0 && r.periodSeconds() < seconds, m.toString());
                assertEquals(1, m.frames() / due, 0.05, "frames against the period of " + Long.toHexString(m.key()));
            }
            for (PayloadField a : m.fields()) {
                for (PayloadField b : m.fields()) {
                    assertTrue(a == b || !LayoutEntries.overlap(a, b) || a.page() != null && b.page() == null
                            && b.kind() == FieldKind.PAGE, a + " overlaps " + b);
                }
                assertTrue(a.endBit() <= 8 * m.length(), a.toString());
            }
        }
        assertTrue(cyclic >= 45, "only " + cyclic + " schedules");
        for (MapSender s : map.senders()) clocksAgree(findings, s);
        // It loads as a layout, on which the loader's own checks for overlaps and lengths run.
        LayoutText.fresh(map);
    }

    /** No sender holds two messages whose clocks refute it. */
    private static void clocksAgree(Findings findings, MapSender s) {
        for (long a : s.keys()) {
            for (long b : s.keys()) {
                Track x = findings.senders().tracks(a).get(0);
                Track y = findings.senders().tracks(b).get(0);
                double apart = Math.abs(x.clockPpm() - y.clockPpm());
                assertTrue(!(apart > 6 * Math.hypot(x.clockPpmError(), y.clockPpmError()) + 1), x + " and " + y);
            }
        }
    }
}
