package buswitness.report.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Findings;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.report.parts.Figures;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.StringReader;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;

class FramesCsvTest {
    @Test
    void hasThePublishedHeaderAndRfc4180LineEnds() throws IOException {
        String text = csv(Samples.clash());
        assertTrue(text.startsWith("time_s,id,data,whole,fault,sender\r\n"), text.substring(0, 60));
        assertEquals(text.lines().count(), text.chars().filter(c -> c == '\r').count());
    }

    @Test
    void holdsEveryFrameInTimeOrder() throws IOException {
        Findings findings = Samples.clash();
        List<CSVRecord> rows = CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).get()
                .parse(new StringReader(csv(findings))).getRecords();
        FrameLog log = findings.frames();
        assertEquals(log.size(), rows.size());
        BigDecimal last = BigDecimal.ZERO;
        int damaged = 0;
        for (int i = 0; i < rows.size(); i++) {
            CSVRecord row = rows.get(i);
            BigDecimal time = new BigDecimal(row.get("time_s"));
            assertEquals(log.startPicos(i), time.movePointRight(12).longValueExact());
            assertTrue(time.compareTo(last) >= 0);
            last = time;
            assertEquals(MessageKey.text(log.key(i)), row.get("id"));
            assertEquals(log.dataLength(i) * 2, row.get("data").length());
            assertEquals(log.isWhole(i), Boolean.valueOf(row.get("whole")));
            assertEquals(log.isWhole(i), row.get("fault").isEmpty());
            if (!log.isWhole(i)) damaged++;
        }
        assertEquals(32, damaged);
        assertEquals("A", rows.get(0).get("sender"));
        assertEquals("8200000000000000", rows.get(0).get("data"));
    }

    @Test
    void timeIsExactToThePicosecondAndHasNoBinaryNoise() {
        assertEquals("0.000000", Figures.seconds(0));
        assertEquals("0.100000000001", Figures.seconds(100_000_000_001L));
        assertEquals("3599.999999999999", Figures.seconds(3_599_999_999_999_999L));
        assertEquals("12.310000", Figures.seconds(12_310_000_000_000L));
    }

    @Test
    void aFrameWithoutIdentifierHasAnEmptyOne() throws IOException {
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        row.clear();
        row.fault = buswitness.frames.FrameFault.NOISE;
        log.add(row);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        FindingReports.writeFramesCsv(log, out);
        assertEquals("time_s,id,data,whole,fault,sender\r\n0.000000,,,false,noise,\r\n",
                out.toString(StandardCharsets.UTF_8));
    }

    private static String csv(Findings findings) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        FindingReports.writeFramesCsv(findings, out);
        return out.toString(StandardCharsets.UTF_8);
    }
}
