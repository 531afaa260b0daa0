package buswitness.report.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Findings;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenStyle;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ScreenReportTest {
    @Test
    void theVerdictComesFirstInPlainWords() {
        assertTrue(screen(Samples.clash(), ScreenStyle.PLAIN).startsWith("Two senders clash on this bus.\n"));
        assertTrue(screen(Samples.calm(), ScreenStyle.PLAIN).startsWith("No clash: "));
        String open = screen(Samples.undecided(), ScreenStyle.PLAIN);
        assertTrue(open.startsWith("Not decided: "));
        assertTrue(open.contains("gauge translator unplugged"), "what would decide must be said");
    }

    /** For somebody who is no engineer: what is wrong, what suffers, what cures it and how sure that is, before any figure. */
    @Test
    void theTopTellsWhatCuresItAndHowSure() {
        String text = screen(Samples.clash(), new ScreenStyle(1000, false, true));
        String top = text.substring(0, text.indexOf("\nWho sends"));
        assertTrue(top.contains("  What cures it: leave B (gauge translator) out: unplug it or do without it. "), top);
        assertTrue(top.contains("  How sure: the evidence is very strong. "), top);
        assertTrue(top.contains(" times better than one"), top);
        String calm = screen(Samples.calm(), new ScreenStyle(1000, false, true));
        assertTrue(calm.contains("How sure: nothing in these ") && calm.contains("a unit that was silent"), calm);
        String open = screen(Samples.undecided(), new ScreenStyle(1000, false, true));
        assertFalse(open.contains("How sure:") || open.contains("What cures it:"), "nothing is decided: " + open);
    }

    @Test
    void namesSendersClocksMessagesInstrumentsRemediesAndCautions() {
        String text = screen(Samples.clash(), new ScreenStyle(1000, false, true));
        for (String part : new String[] {"A (engine unit): clock +41.90 ± 0.21 ppm", "B (gauge translator)",
            "engine state (0x1D0)", "Coolant gauge: swings to and fro because two senders disagree",
            "Excluded: the sender restarts", "Still possible: ", "Leave B (gauge translator) out", "Ends 2 of 2 clashes",
            "filtering gateway", "airbag and brake", "running engine", "no longer warns", "licensed practice",
            "SHA-256 9f86d081"}) {
            assertTrue(text.contains(part), "lacks: " + part + "\n" + text);
        }
    }

    /** Without A nobody sends the tank's level: worked by hand from the sample bus. */
    @Test
    void aRemedyCountsWhatItCuresAndWhatItCosts() {
        Findings findings = Samples.clash();
        var remedies = Remedies.of(findings, new Names(findings));
        Remedy leaveA = remedies.stream().filter(r -> PlainText.bare(r.action()).startsWith("Leave A")).findFirst()
                .orElseThrow();
        assertEquals(2, leaveA.cured());
        assertEquals(4, leaveA.served());
        assertEquals(5, leaveA.wanted());
        assertEquals("fuel gauge", PlainText.bare(String.join(",", leaveA.lost())));
        Remedy leaveB = remedies.stream().filter(r -> PlainText.bare(r.action()).startsWith("Leave B")).findFirst()
                .orElseThrow();
        assertEquals(2, leaveB.cured());
        assertEquals(5, leaveB.served());
        assertTrue(leaveB.lost().isEmpty());
        assertTrue(remedies.indexOf(leaveB) < remedies.indexOf(leaveA));
        assertTrue(Remedies.of(Samples.calm(), new Names(Samples.calm())).isEmpty());
    }

    @ParameterizedTest
    @ValueSource(ints = {20, 40, 60, 80, 132})
    void keepsWithinTheScreen(int columns) {
        for (Findings f : new Findings[] {Samples.clash(), Samples.hostile(), Samples.undecided()}) {
            screen(f, new ScreenStyle(columns, false, true)).lines().forEach(line ->
                    assertTrue(line.codePointCount(0, line.length()) <= columns, line));
        }
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        Findings f = Samples.clash();
        FindingReports.writeDecode(f.bus(), f.frames(), f.gaps(), f.marks(), print(out), new ScreenStyle(columns, false, true));
        out.toString(StandardCharsets.UTF_8).lines().forEach(line -> assertTrue(line.length() <= columns, line));
    }

    @Test
    void colourOnlyWhereAllowed() {
        assertFalse(screen(Samples.clash(), new ScreenStyle(80, false, true)).contains("\u001B"));
        assertTrue(screen(Samples.clash(), new ScreenStyle(80, true, true)).contains("\u001B[1;31m"));
    }

    @Test
    void asciiWhereNoMoreIsAllowed() {
        String text = screen(Samples.clash(), new ScreenStyle(80, false, false));
        assertTrue(text.chars().allMatch(c -> c < 128));
        assertTrue(text.replaceAll("\\s+", " ").contains("+41.90 +- 0.21 ppm"));
    }

    @Test
    void hostileNamesCannotSteerTheTerminal() {
        String text = screen(Samples.clash(8, "unit\u001B[2J\u0007\u009B31m\r\nfake line\u202Egnp", "g"),
                new ScreenStyle(1000, false, true));
        assertTrue(text.chars().allMatch(c -> c == '\n' || !Character.isISOControl(c)));
        assertFalse(text.contains("\u202E"));
        assertTrue(text.lines().noneMatch(line -> line.startsWith("fake line")));
    }

    @Test
    void sameFindingsSameText() {
        assertEquals(screen(Samples.clash(), ScreenStyle.PLAIN), screen(Samples.clash(), ScreenStyle.PLAIN));
    }

    @Test
    void theDecodeTableSaysFaultsAndGaps() {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        Findings f = Samples.clash();
        FindingReports.writeDecode(f.bus(), f.frames(), f.gaps(), f.marks(), print(out), ScreenStyle.PLAIN);
        String text = out.toString(StandardCharsets.UTF_8);
        assertTrue(text.contains("error flag at bit 22"), text.substring(0, 300));
        assertTrue(text.contains("1,880 whole frames, 32 damaged"));
        out.reset();
        f = Samples.undecided();
        FindingReports.writeDecode(f.bus(), f.frames(), f.gaps(), f.marks(), print(out), ScreenStyle.PLAIN);
        assertTrue(out.toString(StandardCharsets.UTF_8).contains("-- Not recorded from 3.000 s to 3.200 s"));
    }

    private static String screen(Findings findings, ScreenStyle style) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        FindingReports.writeScreen(findings, print(out), style);
        return out.toString(StandardCharsets.UTF_8);
    }

    private static PrintStream print(ByteArrayOutputStream out) {
        return new PrintStream(out, true, StandardCharsets.UTF_8);
    }
}
