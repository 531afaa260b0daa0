package buswitness;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.Verdict;
import buswitness.frames.FrameFault;
import buswitness.frames.MessageKey;
import buswitness.testing.JudgedScenario;
import java.io.IOException;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Replies within frames of SAE J1850 and a second sender there. Response types, from memory: 1 one byte of one node, 2 one
 * byte of each of several, the lowest first, both without a check; 3 several bytes of one node, with the check of the
 * frame's own kind. Check of 92 6B 55: 8C (AUTOSAR, 8-bit SAE J1850 CRC; from memory, reproduced).
 */
class PulseRepliesTest {
    @TempDir
    Path folder;

    private JudgedScenario run(String coding, double seconds, String nodes) throws IOException {
        return JudgedScenario.of(folder, "bus: {coding: " + coding + "}\nduration: " + seconds + " s\nseed: 3\n"
                + "recorder: {idle level: 0, tick: " + (coding.equals("j1850-pwm") ? "100 ns" : "1 us") + "}\nnodes:\n"
                + nodes.indent(2));
    }

    private static String asks(String more) {
        return "asks: {clock: 300 ppm, sends: {ask: {id: 0x616AF1, length: 2, filler: 0x11, every: 50 ms" + more + "}}}\n";
    }

    @ParameterizedTest
    @CsvSource({"j1850-pwm, 1", "j1850-pwm, 2", "j1850-pwm, 3", "j1850-vpw, 1", "j1850-vpw, 2", "j1850-vpw, 3"})
    void kindsOfReply(String coding, int kind) throws IOException {
        String replies = switch (kind) {
            case 1 -> "one: {clock: -700 ppm, replies: [{to: 0x616AF1, bytes: 0x41, checked: false}]}\n";
            case 2 -> """
                    one: {clock: -700 ppm, replies: [{to: 0x616AF1, bytes: 0x41, checked: false}]}
                    two: {clock: 900 ppm, replies: [{to: 0x616AF1, bytes: 0x2C, checked: false}]}
                    three: {clock: 100 ppm, replies: [{to: 0x616AF1, bytes: 0xE0, checked: false}]}
                    """;
            default -> "one: {clock: -700 ppm, replies: [{to: 0x616AF1, bytes: 0x926B55}]}\n";
        };
        String wanted = kind == 1 ? "41" : kind == 2 ? "2C41E0" : "926B558C";
        JudgedScenario run = run(coding, 4, asks("") + replies);
        assertTrue(run.frames().size() >= 75, run.frames().size() + " frames");
        for (int i = 0; i < run.frames().size(); i++) {
            if (run.frames().fault(i) == FrameFault.CUT) continue;
            assertEquals(FrameFault.NONE, run.frames().fault(i), "frame " + i);
            assertArrayEquals(HexFormat.of().parseHex(wanted), run.frames().response(i), "frame " + i);
        }
        assertEquals(List.of(), run.notOne());
    }

    /** Two nodes with one header beside nodes that reply: the replies are no second sender, the other frames are. */
    @ParameterizedTest
    @ValueSource(booleans = {false, true})
    void aSecondSenderOnPulseWidth(boolean second) throws IOException {
        String nodes = "one: {clock: 400 ppm, wander: 3 ppm, sends: {a: {id: 0xA83B40, length: 2, filler: 0x30, every: 100 ms}}}\n"
                + "other: {clock: -200 ppm, sends: {b: {id: 0xA83C50, length: 3, filler: 0x44, every: 40 ms}}}\n"
                + "replies: {clock: 2000 ppm, replies: [{to: 0xA83B40, bytes: 0x21, checked: false}]}\n";
        String two = "two: {clock: -600 ppm, wander: 3 ppm, sends: {a: {id: 0xA83B40, length: 2, filler: 0x90, every: 100 ms}}}\n";
        JudgedScenario run = run("j1850-pwm", 40, nodes + (second ? two : ""));
        assertEquals(second ? List.of("0xA83B40 two senders") : List.of(), run.notOne());
    }

    /** Active for 39 us, nominal (seen in a secondary source): the frame it hits is gone, the next one is whole. */
    @Test
    void aBreakOnPulseWidth() throws IOException {
        JudgedScenario run = run("j1850-pwm", 2, asks(", phase: 10 ms"));
        assertEquals(0, run.frames().count(FrameFault.BREAK));
        JudgedScenario broken = JudgedScenario.of(folder, "bus: {coding: j1850-pwm}\nduration: 2 s\n"
                + "recorder: {idle level: 0, tick: 100 ns}\nnodes:\n" + asks(", phase: 10 ms").indent(2)
                + "interference: [{at: [0.535 s, 1.0355 s], length: 39 us}]\n");
        assertEquals(2, broken.frames().count(FrameFault.BREAK));
        assertEquals(run.frames().wholeCount(), broken.frames().wholeCount());
        assertTrue(broken.findings().messages().stream().allMatch(m -> m.verdict() == Verdict.ONE_SENDER));
        assertEquals(MessageKey.of(0x616AF1, 6), broken.findings().messages().get(0).key());
    }
}
