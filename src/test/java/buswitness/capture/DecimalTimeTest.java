package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Decimal times against the JDK's exact decimals. */
class DecimalTimeTest {

    private static long picos(String text, TimeUnit unit) {
        DecimalTime time = new DecimalTime(unit.picos);
        byte[] bytes = Given.utf8("<" + text + ">");
        assertTrue(time.read(bytes, 1, bytes.length - 1), text);
        return time.picosFrom(0, 0);
    }

    @Test
    void everyDigitCounts() {
        assertEquals(9_000_000, picos("9e-06", TimeUnit.S));
        assertEquals(1_000_123_456_789_013L, picos("1000.123456789013", TimeUnit.S));
        assertEquals(13_889, picos("0.0138888888888888888888888888", TimeUnit.US));
        assertEquals(-1_500, picos("-1.5", TimeUnit.NS));
        assertEquals(1, picos("0.5", TimeUnit.PS));
        assertEquals(1_000, picos(".9999", TimeUnit.NS), "carries into the unit");
        assertEquals(2_000_000_000_000L, picos("+2.", TimeUnit.S));
        assertEquals(DecimalTime.TOO_FAR, picos("9999999999", TimeUnit.S));
        assertEquals(DecimalTime.TOO_FAR, picos("1e30", TimeUnit.PS));
        assertEquals(DecimalTime.TOO_FAR, picos("123456789012345678901234567890", TimeUnit.PS));
    }

    @Test
    void anythingElseIsNoNumber() {
        DecimalTime time = new DecimalTime(TimeUnit.S.picos);
        for (String text : List.of("", "-", ".", "+.", "1.2.3", "1 2", "0x10", "1e", "e5", "NaN", "1e999999999", "1,5",
                "--1", "\u0661")) {
            byte[] bytes = Given.utf8(text);
            assertFalse(time.read(bytes, 0, bytes.length), text);
        }
    }

    @Test
    void agreesWithExactDecimals() {
        SplittableRandom random = new SplittableRandom(71);
        for (int n = 0; n < 20_000; n++) {
            TimeUnit unit = TimeUnit.values()[random.nextInt(5)];
            BigDecimal value = new BigDecimal(random.nextLong(1L << random.nextInt(1, 50))).movePointLeft(
                    random.nextInt(20));
            String text = random.nextInt(4) == 0 ? value.toString() : value.toPlainString();
            if (random.nextInt(8) == 0) text = "-" + text;
            BigDecimal exact = new BigDecimal(text).multiply(new BigDecimal(unit.picos))
                    .setScale(0, RoundingMode.HALF_UP);
            long expected = exact.abs().compareTo(new BigDecimal(Long.MAX_VALUE - 2 * unit.picos)) > 0
                    ? DecimalTime.TOO_FAR : exact.longValueExact();
            assertEquals(expected, picos(text, unit), text + " " + unit);
        }
    }

    @Test
    void thePlacesThatTell() {
        DecimalTime time = new DecimalTime(TimeUnit.S.picos);
        for (List<Object> row : List.of(List.<Object>of("0.000440", 6), List.<Object>of("0.0008960000000000002", 6),
                List.<Object>of("9e-06", 6), List.<Object>of("12", 0), List.<Object>of("0.000013888889", 12))) {
            byte[] bytes = Given.utf8((String) row.get(0));
            assertTrue(time.read(bytes, 0, bytes.length));
            assertEquals(row.get(1), time.tellingDecimals(), (String) row.get(0));
        }
    }
}
