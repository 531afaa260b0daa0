package buswitness.probe;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Serial ports of this computer. */
final class SerialPorts {
    private static final int WAIT_MILLIS = 100;
    private static final int BUFFER = 1 << 16;

    private SerialPorts() {}

    /** Each port's name and what a person knows it by. */
    static List<String> list() {
        List<String> lines = new ArrayList<>();
        for (SerialPort port : SerialPort.getCommPorts()) {
            String maker = port.getManufacturer();
            boolean known = maker != null && !maker.isBlank() && !maker.equalsIgnoreCase("unknown");
            lines.add(port.getSystemPortPath() + "  " + port.getDescriptivePortName() + (known ? ", " + maker : ""));
        }
        return lines;
    }

    /** @return null where it cannot be opened now */
    static Port tryOpen(String path, int bitsPerSecond) {
        SerialPort port;
        try {
            port = SerialPort.getCommPort(path);
        } catch (SerialPortInvalidPortException e) {
            return null;
        }
        port.setComPortParameters(bitsPerSecond, 8, SerialPort.ONE_STOP_BIT, SerialPort.NO_PARITY);
        port.setFlowControl(SerialPort.FLOW_CONTROL_DISABLED);
        port.setComPortTimeouts(SerialPort.TIMEOUT_READ_SEMI_BLOCKING, WAIT_MILLIS, 0);
        if (!port.openPort(0, BUFFER, BUFFER)) return null;
        return new Port() {
            @Override
            public int read(byte[] into) {
                return port.readBytes(into, into.length);
            }

            @Override
            public void close() {
                port.closePort();
            }
        };
    }

    static Port open(String path, int bitsPerSecond) {
        Port port = tryOpen(path, bitsPerSecond);
        if (port != null) return port;
        if (path.contains("/") && !Files.exists(Path.of(path))) {
            throw new InputFault(Place.file(path), "there is no such port", "see record --list, and check the plug");
        }
        throw new InputFault(Place.file(path), "cannot be opened as a serial port",
                "see record --list, and check the plug and your right to use the port");
    }
}
