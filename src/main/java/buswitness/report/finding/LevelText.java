package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.SenderLevel;
import buswitness.report.parts.Figures;

/** How high a sender's dominant bits stand, in words; nothing where the recording holds no voltages. */
final class LevelText {
    private LevelText() {}

    /** Such as {@code dominant bits 2.050 ± 0.012 V from rest}, or empty. */
    static String of(Findings findings, int sender) {
        SenderLevel level = SenderLevel.of(findings.frames(), findings.clashes(), sender);
        if (level == null) return "";
        String unit = level.unit().equals("FS") ? " of full scale" : "\u00A0" + level.unit();
        return "dominant bits " + Figures.withError(level.step(), level.stepError(), false) + unit + " from rest";
    }
}
