package buswitness.probe;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Ports in the words a person knows them by; all names here are invented. */
class PortWordsTest {
    private static final List<SerialPorts.Facts> PORTS = List.of(
            new SerialPorts.Facts("/dev/ttyS0", "Physical Port S0", "Unknown", "Unknown", -1),
            new SerialPorts.Facts("/dev/ttyUSB1", "Wire probe (/dev/ttyUSB1)", "Bench works", "0042", 4711),
            new SerialPorts.Facts("/dev/ttyACM0", "USB level watcher", "USB level", "00000", 815),
            new SerialPorts.Facts("/dev/ttyS1", null, "", null, 0));

    @Test
    void whatWasPluggedInComesFirstAndIsDescribed() {
        assertEquals(List.of("/dev/ttyACM0  USB level watcher",
                "/dev/ttyUSB1  USB: Wire probe (maker: Bench works, serial number 0042)",
                "/dev/ttyS0  Physical Port S0",
                "/dev/ttyS1  serial port"), SerialPorts.words(PORTS));
    }

    @Test
    void aPortCanBeMeantBySomeOfItsWords() {
        assertEquals("/dev/ttyUSB1", SerialPorts.meant("wire probe", PORTS));
        assertEquals("/dev/ttyUSB1", SerialPorts.meant("0042", PORTS));
        assertEquals("/dev/elsewhere", SerialPorts.meant("/dev/elsewhere", PORTS));
        assertEquals("toaster", SerialPorts.meant("toaster", PORTS));
        InputFault fault = assertThrows(InputFault.class, () -> SerialPorts.meant("ttyS", PORTS));
        assertTrue(fault.getMessage().contains("/dev/ttyS0, /dev/ttyS1"), fault.getMessage());
    }
}
