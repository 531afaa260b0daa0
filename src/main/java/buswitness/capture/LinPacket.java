package buswitness.capture;

import buswitness.capture.FrameRow.RowFault;
import java.util.Arrays;

/**
 * One packet of the LIN link type (link-layer header types registry, LINKTYPE_LIN; its number, 212, after libpcap 1.10.3,
 * pcap/dlt.h): format 1 and three reserved bytes; payload length, kind of message and kind of check sum in 4, 2 and 2 bits;
 * protected identifier; check sum; error bits; payload. Kinds of message other than 0 are events and no frames (from
 * memory). Reused.
 */
final class LinPacket {
    private static final int HEAD = 8;
    private static final int CLASSIC = 1;
    private static final int ENHANCED = 2;
    /** Error bits, low bit first, and what each becomes; what comes first in this list is told. */
    private static final RowFault[] ERRORS = {RowFault.NO_RESPONSE, RowFault.BYTE, RowFault.PARITY, RowFault.CHECK,
        RowFault.FORM, RowFault.LENGTH};

    boolean event;
    int identifier;
    byte[] data;
    RowFault fault;

    /** @return why the packet cannot be taken, or null */
    String read(byte[] b, int from, int captured) {
        if (captured < HEAD) return "it holds " + captured + " bytes, fewer than the 8 of a LIN header";
        if (b[from] != 1) return "its format number is " + (b[from] & 0xFF) + ", which is not known";
        int length = (b[from + 4] & 0xFF) >>> 4;
        int kind = b[from + 4] >>> 2 & 3;
        int checkKind = b[from + 4] & 3;
        event = kind != 0;
        if (event) return null;
        if (length > 8) return "it claims " + length + " payload bytes, more than the 8 a LIN frame may have";
        if (captured < HEAD + length) return "it was stored short: " + (captured - HEAD) + " of " + length + " payload bytes";
        int guarded = b[from + 5] & 0xFF;
        identifier = guarded & 0x3F;
        data = Arrays.copyOfRange(b, from + HEAD, from + HEAD + length);
        fault = fault(b[from + 7], guarded, b[from + 6] & 0xFF, checkKind);
        return null;
    }

    private RowFault fault(int errors, int guarded, int check, int checkKind) {
        for (int i = 0; i < ERRORS.length; i++) if ((errors >>> i & 1) != 0) return ERRORS[i];
        if (guard(identifier) != guarded) return RowFault.PARITY;
        if (data.length == 0) return RowFault.NO_RESPONSE;
        boolean right = checkKind != CLASSIC && checkKind != ENHANCED || sum(checkKind == ENHANCED ? guarded : 0) == check;
        return right ? RowFault.NONE : RowFault.CHECK;
    }

    /** Identifier with its two parity bits (LIN 2.2A, 2.3.1.3). */
    static int guard(int id) {
        int p0 = id ^ id >> 1 ^ id >> 2 ^ id >> 4;
        int p1 = ~(id >> 1 ^ id >> 3 ^ id >> 4 ^ id >> 5);
        return id | (p0 & 1) << 6 | (p1 & 1) << 7;
    }

    /** Inverted sum with carry (LIN 2.2A, 2.3.1.5). */
    private int sum(int first) {
        int sum = first;
        for (byte x : data) {
            sum += x & 0xFF;
            if (sum > 255) sum -= 255;
        }
        return ~sum & 0xFF;
    }
}
