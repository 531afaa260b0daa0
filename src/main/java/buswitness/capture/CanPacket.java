package buswitness.capture;

import java.util.Arrays;

/**
 * One packet of link type 227, CAN with the interface's flags: identifier and flags in four bytes, high byte first;
 * length; CAN FD flags; two reserved bytes; payload (link-layer header types registry, LINKTYPE_CAN_SOCKETCAN; libpcap 1.10.3,
 * pcap/dlt.h and pcap/can_socketcan.h). Reused.
 */
final class CanPacket {
    private static final int HEAD = 8;
    private static final long ERROR = 0x2000_0000L;
    private static final long REMOTE = 0x4000_0000L;
    private static final long EXTENDED = 0x8000_0000L;
    private static final int MOST_DATA = 64;
    /** Class bits of an error packet, low bit first, as its identifier carries them. */
    private static final String[] ERRORS = {"transmit timeout", "lost arbitration", "controller", "protocol violation",
        "transceiver", "no acknowledgement", "bus off", "bus error", "controller restarted", "error counters"};

    boolean error;
    boolean remote;
    boolean extended;
    int identifier;
    byte[] data;
    private final long[] errorsOf = new long[ERRORS.length];
    private long errors;

    /** @return why the packet cannot be taken, or null */
    String read(byte[] b, int from, int captured) {
        if (captured < HEAD) return "it holds " + captured + " bytes, fewer than the 8 of a CAN header";
        long word = (b[from] & 0xFFL) << 24 | (b[from + 1] & 0xFFL) << 16 | (b[from + 2] & 0xFFL) << 8
                | b[from + 3] & 0xFFL;
        error = (word & ERROR) != 0;
        remote = (word & REMOTE) != 0;
        extended = (word & EXTENDED) != 0;
        identifier = (int) (word & 0x1FFF_FFFFL);
        int length = b[from + 4] & 0xFF;
        if (length > MOST_DATA) return "it claims " + length + " payload bytes, more than the 64 a CAN frame may have";
        if (!error && !extended && identifier > 0x7FF) return "its identifier is too large for 11 bits";
        if (remote) length = 0;
        if (captured < HEAD + length) return "it was stored short: " + (captured - HEAD) + " of " + length
                + " payload bytes";
        data = Arrays.copyOfRange(b, from + HEAD, from + HEAD + length);
        if (error) count();
        return null;
    }

    private void count() {
        errors++;
        for (int i = 0; i < ERRORS.length; i++) {
            if ((identifier >>> i & 1) != 0) errorsOf[i]++;
        }
    }

    /** Error packets met so far. */
    long errors() {
        return errors;
    }

    /** How often each class of error was named; a packet may name several. */
    String errorClasses() {
        StringBuilder text = new StringBuilder();
        for (int i = 0; i < ERRORS.length; i++) {
            if (errorsOf[i] == 0) continue;
            text.append(text.length() == 0 ? "" : ", ").append(ERRORS[i]).append(' ').append(errorsOf[i]);
        }
        return text.length() == 0 ? "no class named" : text.toString();
    }
}
