package buswitness.report.finding;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Findings;
import buswitness.frames.FrameLog;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

class PageReportTest {
    @Test
    void sameFindingsSameBytes() throws IOException {
        assertArrayEquals(page(Samples.clash()), page(Samples.clash()));
    }

    /** Two million frames and some million samples on three instruments: twelve hours of two senders fighting. */
    @Test
    void staysUnderTwoMegabytesHoweverLong() throws IOException {
        Findings huge = Samples.clash(43_500, "engine unit", "coolant gauge");
        assertTrue(huge.frames().size() > 2_000_000, "only " + huge.frames().size() + " frames");
        byte[] bytes = page(huge);
        assertTrue(bytes.length < 2_000_000, bytes.length + " bytes");
        String text = new String(bytes, StandardCharsets.UTF_8);
        assertTrue(text.contains("too long to draw whole"), "the page must say where detail ends");
        Map<String, Object> facts = facts(text);
        assertEquals(false, facts.get("everything"));
        noReversalIsHidden(huge, facts);
    }

    /** Turns of what each needle showed, in the findings and in the page's own data: told apart from the thinning. */
    private static void noReversalIsHidden(Findings findings, Map<String, Object> facts) {
        List<Object> lanes = JsonTree.list(facts.get("instruments"));
        assertEquals(findings.instruments().instruments().size(), lanes.size());
        for (Object lane : lanes) {
            Map<String, Object> one = JsonTree.object(lane);
            var finding = findings.instruments().instruments().stream().filter(i -> i.name().equals(one.get("name")))
                    .findFirst().orElseThrow();
            Map<String, Object> shown = JsonTree.object(one.get("shown"));
            long turns = 0;
            if (shown.containsKey("bands")) {
                for (Object band : JsonTree.list(shown.get("bands"))) {
                    turns += Long.parseLong(JsonTree.list(band).get(4).toString());
                }
            }
            int all = TraceThinner.turns(finding.trace().shown()).cardinality();
            assertTrue(turns + JsonTree.list(shown.get("t")).size() >= all, one.get("name") + " lost turns: " + all);
            if (finding.flapping()) assertTrue(turns > all / 2, "a long flapping trace must be told by bands: " + turns);
        }
    }

    @Test
    void aShortRecordingIsDrawnWhole() throws IOException {
        Findings findings = Samples.clash();
        Map<String, Object> facts = facts(new String(page(findings), StandardCharsets.UTF_8));
        assertEquals(true, facts.get("everything"));
        int drawn = 0;
        for (Object m : JsonTree.list(facts.get("messages"))) drawn += JsonTree.list(JsonTree.object(m).get("t")).size();
        FrameLog log = findings.frames();
        assertEquals(log.size(), drawn);
    }

    @Test
    void hostileNamesAreEscapedInTextAndInData() throws IOException {
        String text = new String(page(Samples.hostile()), StandardCharsets.UTF_8);
        assertFalse(text.contains("<script>document"), "a name became markup");
        assertTrue(text.contains("<bdi>&#34;&gt;&lt;script&gt;") || text.contains("<bdi>\"&gt;&lt;script&gt;"),
                "names must be isolated");
        assertTrue(text.contains("\\u003cscript>document"), "names stay whole in the data");
        assertFalse(text.contains("\u202E"), "nothing may reorder the page");
        assertEquals(3, text.split("</script>", -1).length, "data and script close once each");
    }

    @Test
    void fetchesNothing() throws IOException {
        String text = new String(page(Samples.clash()), StandardCharsets.UTF_8);
        assertTrue(text.contains("default-src &#39;none&#39;") || text.contains("default-src 'none'"));
        assertFalse(text.contains("unsafe-inline"));
        String bare = text.replace("http://www.w3.org/2000/svg", "");
        for (String sign : new String[] {"http://", "https://", "@import", "src=", "href="}) {
            assertFalse(bare.contains(sign), sign);
        }
    }

    @Test
    void everyKindOfFindingHasAPage() throws IOException {
        assertTrue(new String(page(Samples.calm()), StandardCharsets.UTF_8).contains("No clash:"));
        String open = new String(page(Samples.undecided()), StandardCharsets.UTF_8);
        assertTrue(open.contains("Not decided:") && open.contains("Take the recording that would decide"));
        assertTrue(new String(page(Samples.noLayout()), StandardCharsets.UTF_8).contains("No layout file was given"));
    }

    @Test
    void showsTheVerdictWithoutEachKindOfEvidence() throws IOException {
        String text = new String(page(Samples.clash()), StandardCharsets.UTF_8);
        String table = text.substring(text.indexOf("Does the verdict rest on one kind of evidence alone?"));
        table = table.substring(0, table.indexOf("</table>"));
        assertTrue(table.contains("<td>without head-on evidence</td>") && table.contains("undecided") && table.contains("51.5"), table);
        assertFalse(new String(page(Samples.calm()), StandardCharsets.UTF_8).contains("Does the verdict rest on one kind of evidence alone?"));
    }

    private static Map<String, Object> facts(String page) throws IOException {
        int from = page.indexOf("id=\"facts\">") + 11;
        return JsonTree.object(JsonTree.parse(page.substring(from, page.indexOf("</script>", from))
                .getBytes(StandardCharsets.UTF_8)));
    }

    static byte[] page(Findings findings) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        FindingReports.writeHtml(findings, out);
        return out.toByteArray();
    }
}
