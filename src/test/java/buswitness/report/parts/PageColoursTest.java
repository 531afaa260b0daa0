package buswitness.report.parts;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/**
 * Colours of the pages, bright, dark and on paper, against WCAG 2.2 (W3C, 2023): 1.4.3 asks 4.5 to 1 of text, 1.4.11 asks 3
 * to 1 of what a drawing says. Contrast after its definition of relative luminance.
 */
class PageColoursTest {
    private static final List<String> TEXT = List.of("ink", "quiet", "yes", "no", "open", "focus", "bad");
    private static final List<String> DRAWN = List.of("s0", "s1", "s2", "s3", "s4", "s5", "sx", "needle", "lit", "edge");

    @Test
    void theFormulaGivesItsOwnExamples() {
        // WCAG 2.2, definition of contrast ratio: from 1 to 21.
        assertEquals(21, contrast("#000000", "#ffffff"), 1e-9);
        assertEquals(1, contrast("#123456", "#123456"), 1e-9);
        // W3C, Understanding 1.4.3: #767676 on white is just enough for text.
        assertEquals(4.54, contrast("#767676", "#ffffff"), 0.005);
    }

    @Test
    void textAndDrawingsStandOut() {
        Map<String, String> colours = new HashMap<>();
        List<String> weak = new ArrayList<>();
        Matcher palettes = Pattern.compile(":root \\{([^}]*)}").matcher(WebPage.resource("page.css"));
        int seen = 0;
        while (palettes.find()) {
            seen++;
            Matcher one = Pattern.compile("--(\\w+): (#[0-9a-f]{6})").matcher(palettes.group(1));
            while (one.find()) colours.put(one.group(1), one.group(2));
            String paper = colours.get("paper");
            for (String c : TEXT) if (contrast(colours.get(c), paper) < 4.5) weak.add(c + " " + colours.get(c) + " on " + paper);
            for (String c : DRAWN) if (contrast(colours.get(c), paper) < 3) weak.add(c + " " + colours.get(c) + " on " + paper);
        }
        assertEquals(3, seen, "bright, dark, paper");
        assertTrue(weak.isEmpty(), weak.toString());
    }

    private static double contrast(String one, String other) {
        double a = luminance(one);
        double b = luminance(other);
        return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    }

    private static double luminance(String colour) {
        double[] weight = {0.2126, 0.7152, 0.0722};
        double sum = 0;
        for (int i = 0; i < 3; i++) {
            double c = Integer.parseInt(colour.substring(1 + 2 * i, 3 + 2 * i), 16) / 255.0;
            sum += weight[i] * (c <= 0.04045 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4));
        }
        return sum;
    }
}
