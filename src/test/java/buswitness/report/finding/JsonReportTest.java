package buswitness.report.finding;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Findings;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Against the published example: every field of it, with its type, and the published words of each enumeration. */
class JsonReportTest {
    /** May be null by the published text: no nominal period, no name, no sender, nothing to compare. */
    private static final Set<String> NULLABLE = Set.of("name", "clock_ppm", "clock_ppm_error", "sender", "period_s",
            "period_error_s", "with_sender_change", "load", "rate_bit_per_s");
    private static final Map<String, Set<String>> WORDS = Map.of(
            "clash", Set.of("yes", "no", "undecided"),
            "verdict", Set.of("one sender", "two senders", "undecided"),
            "symptom", Set.of("none", "flapping", "held", "dropped out", "steadily wrong", "never lit"),
            "cause", Set.of("two senders", "damaged by two senders", "own reading", "restarts", "disturbance",
                    "missing frames", "blinking", "undecided", "none"));

    private final Set<String> checked = new HashSet<>();

    static Stream<Findings> samples() {
        return Stream.of(Samples.clash(), Samples.calm(), Samples.undecided(), Samples.noLayout(), Samples.hostile());
    }

    @ParameterizedTest
    @MethodSource("samples")
    void hasTheFieldsAndTypesOfThePublishedExample(Findings findings) throws IOException {
        try (InputStream in = getClass().getResourceAsStream("/vectors/report/finding-example.json")) {
            assertNotNull(in);
            compare("", JsonTree.parse(in.readAllBytes()), JsonTree.parse(json(findings)));
        }
        assertTrue(checked.size() > 20, "too little was compared: " + checked);
    }

    private void compare(String name, Object published, Object ours) {
        if (ours == null) {
            assertTrue(published == null || NULLABLE.contains(name), name + " must not be null");
            return;
        }
        checked.add(name);
        if (WORDS.containsKey(name)) assertTrue(WORDS.get(name).contains(ours), name + ": " + ours);
        if (published instanceof Map<?, ?>) {
            JsonTree.object(published).forEach((field, value) -> {
                assertTrue(JsonTree.object(ours).containsKey(field), name + " lacks " + field);
                compare(field, value, JsonTree.object(ours).get(field));
            });
        } else if (published instanceof List<?> list) {
            assertTrue(ours instanceof List<?>, name + " must be a list");
            if (!list.isEmpty()) JsonTree.list(ours).forEach(item -> compare(name + "[]", list.get(0), item));
        } else if (published != null) {
            assertEquals(published.getClass(), ours.getClass(), name);
        }
    }

    @Test
    void saysWhatWasFound() throws IOException {
        Map<String, Object> all = JsonTree.object(JsonTree.parse(json(Samples.clash())));
        assertEquals("yes", all.get("clash"));
        Map<String, Object> recording = JsonTree.object(all.get("recording"));
        assertEquals(new BigDecimal("0.000001"), recording.get("tick_s"));
        Map<String, Object> state = JsonTree.object(JsonTree.list(all.get("messages")).get(0));
        assertEquals("0x1D0", state.get("id"));
        assertEquals(List.of("A", "B"), state.get("senders"));
        Map<String, Object> ablated = JsonTree.object(JsonTree.list(state.get("ablation")).get(1));
        assertEquals(Map.of("without", "head-on", "verdict", "undecided", "strength", new BigDecimal("51.5")), ablated);
        Map<String, Object> collision = JsonTree.object(JsonTree.list(all.get("collisions")).get(0));
        assertEquals(new BigDecimal("12.31"), collision.get("time_s"));
        assertEquals(new BigDecimal("16"), collision.get("frames"));
    }

    @Test
    void unknownNumbersAreNull() throws IOException {
        Map<String, Object> all = JsonTree.object(JsonTree.parse(json(Samples.calm())));
        Map<String, Object> gauge = JsonTree.object(JsonTree.list(all.get("instruments")).get(0));
        assertTrue(gauge.containsKey("with_sender_change"));
        assertNull(gauge.get("with_sender_change"));
        assertFalse(new String(json(Samples.calm()), StandardCharsets.UTF_8).contains("NaN"));
    }

    @Test
    void hostileNamesComeBackAsTheyWere() throws IOException {
        Map<String, Object> all = JsonTree.object(JsonTree.parse(json(Samples.hostile())));
        assertEquals(Samples.HOSTILE, JsonTree.object(JsonTree.list(all.get("senders")).get(0)).get("name"));
        byte[] lone = json(Samples.clash(8, "lone \uD800 surrogate", "gauge"));
        assertEquals("lone \uFFFD surrogate", JsonTree.object(JsonTree.list(
                JsonTree.object(JsonTree.parse(lone)).get("senders")).get(0)).get("name"));
    }

    @Test
    void sameFindingsSameBytes() throws IOException {
        assertArrayEquals(json(Samples.clash()), json(Samples.clash()));
    }

    private static byte[] json(Findings findings) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        FindingReports.writeJson(findings, out);
        return out.toByteArray();
    }
}
