package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * LIN 2.2A clause 2.6 (seen in a secondary source): the command 0x3C with 00 FF FF FF FF FF FF FF and the classic sum 00, or
 * 4 s of rest, put a bus to sleep; an active level of 250 us to 5 ms wakes it, and is taken from 150 us on. Levels are drawn
 * by hand.
 */
class LinSleepTest {
    private static final int REST_MICROS = 20_000;

    private static FormatSketch line() {
        FormatSketch line = BusSamples.sketch("lin").idle(REST_MICROS);
        return door(door(line));
    }

    private static FormatSketch door(FormatSketch line) {
        line.frame(Map.of("identifier", 0x21L), (byte) 0x5A, (byte) 0x0F);
        return line.idle(REST_MICROS);
    }

    /** Bytes written out, the check sum as the table of the clause has it. */
    private static void command(FormatSketch line, String bytes) {
        StringBuilder bits = new StringBuilder();
        for (byte b : HexFormat.of().parseHex(bytes)) bits.append(FormatSketch.text(b & 0xFF, 8));
        line.raw(bits.toString(), new byte[8], 0x3C);
        line.idle(REST_MICROS);
    }

    private static FormatSketch pulse(FormatSketch line, double micros) {
        line.level(0, micros);
        return line.idle(REST_MICROS);
    }

    private static List<String> faults(FormatSketch line) {
        FrameLog log = line.record(1, false).decode(BusSamples.told("lin")).frames();
        List<String> out = new ArrayList<>();
        for (int i = 0; i < log.size(); i++) {
            if (log.fault(i) != FrameFault.NONE) out.add(log.fault(i).text());
        }
        return out;
    }

    @ParameterizedTest
    @CsvSource({"140, noise", "160, wake-up", "250, wake-up", "400, wake-up", "521, wake-up", "600, wake-up", "1000, wake-up",
        "5000, wake-up", "5300, break"})
    void afterTheCommandOnePulseWakesTheBus(double micros, String taken) {
        FormatSketch line = line();
        command(line, "553C00FFFFFFFFFFFFFF00");
        assertEquals(List.of(taken), faults(door(pulse(line, micros))));
    }

    @Test
    void aPulseShowsWithItsOwnLength() {
        for (double micros : new double[] {250, 500, 900, 3000}) {
            FormatSketch line = line();
            command(line, "553C00FFFFFFFFFFFFFF00");
            FrameLog log = door(pulse(line, micros)).record(1, false).decode(BusSamples.told("lin")).frames();
            int at = 0;
            while (log.fault(at) != FrameFault.WAKE_UP) at++;
            assertEquals(micros, (log.endPicos(at) - log.startPicos(at)) * 1e-6, 2);
            assertEquals(0, log.damagedCount());
        }
    }

    /** Three in vain, then the master speaks. */
    @Test
    void repeatedPulsesAreEachAWakeUp() {
        FormatSketch line = line();
        command(line, "553C00FFFFFFFFFFFFFF00");
        for (int n = 0; n < 3; n++) pulse(line, 700).idle(180_000);
        assertEquals(List.of("wake-up", "wake-up", "wake-up"), faults(door(line)));
    }

    @ParameterizedTest
    @CsvSource({"3.9, break", "4.1, wake-up"})
    void fourSecondsOfRestAreSleep(double seconds, String taken) {
        FormatSketch line = line().idle(seconds * 1e6 - REST_MICROS);
        assertEquals(List.of(taken), faults(door(pulse(line, 1000))));
    }

    /** A request that is no sleep command, a damaged command, and a bus that has been woken already. */
    @Test
    void onABusThatIsAwakeThePulseIsNone() {
        FormatSketch request = line();
        // Address 7E, the sum after the rule of 2.3.1.5: 7E + 7 FF = 7E, inverted 81.
        command(request, "553C7EFFFFFFFFFFFFFF81");
        assertEquals(List.of("break"), faults(door(pulse(request, 1000))));
        FormatSketch damaged = line();
        command(damaged, "553C00FFFFFFFFFFFFFF01");
        assertEquals(List.of("check", "break"), faults(door(pulse(damaged, 1000))));
        FormatSketch awake = line();
        command(awake, "553C00FFFFFFFFFFFFFF00");
        assertEquals(List.of("wake-up", "noise"), faults(door(pulse(door(pulse(awake, 300)), 300))));
    }

    /** The master's own break wakes the bus as well, and is the break of its frame. */
    @Test
    void aHeaderAfterSleepIsAFrame() {
        FormatSketch line = line();
        command(line, "553C00FFFFFFFFFFFFFF00");
        assertEquals(List.of(), faults(door(line.idle(5e6))));
        FormatSketch noise = line();
        command(noise, "553C00FFFFFFFFFFFFFF00");
        noise.level(0, 300);
        noise.level(1, 300);
        noise.level(0, 300);
        assertEquals(List.of("noise"), faults(door(noise.idle(REST_MICROS))));
    }
}
