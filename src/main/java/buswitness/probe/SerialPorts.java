package buswitness.probe;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/** Serial ports of this computer. */
final class SerialPorts {
    private static final int WAIT_MILLIS = 100;
    private static final int BUFFER = 1 << 16;

    private SerialPorts() {}

    /** What a computer knows of a port; any but the path may be null or empty. */
    record Facts(String path, String says, String maker, String serial, int usbVendor) {
        /** On a computer without an answer the library says so in words. */
        private static boolean told(String text) {
            return text != null && !text.isBlank() && !text.strip().equalsIgnoreCase("unknown");
        }

        /** {@code /dev/ttyUSB0  USB: Wire probe (maker: Bench works, serial number 0042)}. */
        String words() {
            String plain = told(says) ? says.strip() : "serial port";
            // Some drivers end the description with the path, which stands in front already.
            plain = plain.replaceFirst("\\s*\\(" + java.util.regex.Pattern.quote(path) + "\\)$", "");
            List<String> more = new ArrayList<>();
            if (told(maker) && !plain.contains(maker.strip())) more.add("maker: " + maker.strip());
            if (told(serial) && !serial.strip().matches("0+")) more.add("serial number " + serial.strip());
            boolean usb = usbVendor > 0 && !plain.toLowerCase(Locale.ROOT).contains("usb");
            String text = path + "  " + (usb ? "USB: " : "") + plain + (more.isEmpty() ? "" : " (" + String.join(", ", more) + ")");
            return text.replaceAll("\\p{Cntrl}", " ");
        }
    }

    /** Each port's name and what a person knows it by; what was plugged in by hand first. */
    static List<String> list() {
        return words(facts());
    }

    static List<String> words(List<Facts> ports) {
        return ports.stream().sorted(Comparator.comparing((Facts f) -> f.usbVendor() <= 0).thenComparing(Facts::path))
                .map(Facts::words).toList();
    }

    private static List<Facts> facts() {
        List<Facts> facts = new ArrayList<>();
        for (SerialPort port : SerialPort.getCommPorts()) {
            facts.add(new Facts(port.getSystemPortPath(), port.getDescriptivePortName(), port.getManufacturer(),
                    port.getSerialNumber(), port.getVendorID()));
        }
        return facts;
    }

    /**
     * The path of the port meant: a path as it is; else the one port whose words hold what was typed.
     *
     * @throws InputFault where several do
     */
    static String meant(String typed, List<Facts> ports) {
        if (typed.contains("/") || ports.stream().anyMatch(f -> f.path().equals(typed))) return typed;
        String wanted = typed.strip().toLowerCase(Locale.ROOT);
        List<Facts> fit = ports.stream().filter(f -> f.words().toLowerCase(Locale.ROOT).contains(wanted)).toList();
        if (fit.size() == 1) return fit.get(0).path();
        if (fit.isEmpty()) return typed;
        throw new InputFault(Place.file(typed), "fits several ports (" + String.join(", ", fit.stream().map(Facts::path).toList())
                + ")", "name one of them");
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

    /** The same port after it was gone; one named by its words may have another path now. @return null where it is not back */
    static Port again(String typed, int bitsPerSecond) {
        try {
            return tryOpen(meant(typed, typed.contains("/") ? List.of() : facts()), bitsPerSecond);
        } catch (InputFault several) {
            return null;
        }
    }

    static Port open(String typed, int bitsPerSecond) {
        String path = meant(typed, typed.contains("/") ? List.of() : facts());
        Port port = tryOpen(path, bitsPerSecond);
        if (port != null) return port;
        if (!Files.exists(Path.of(path)) && (path.contains("/") || !path.startsWith("COM"))) {
            throw new InputFault(Place.file(path), "there is no such port", "see record --list, and check the plug");
        }
        throw new InputFault(Place.file(path), "cannot be opened as a serial port",
                "see record --list, and check the plug and your right to use the port");
    }
}
