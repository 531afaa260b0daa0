package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;

/**
 * Walks the packets of a packet capture: pcap (IETF draft-ietf-opsawg-pcap) or pcapng (draft-ietf-opsawg-pcapng),
 * either byte order. The packet's bytes lie in {@code window.bytes} from {@link #from}.
 */
final class PacketFile {
    private static final int SECTION = 0x0A0D0D0A;
    private static final int BYTE_ORDER = 0x1A2B3C4D;
    private static final int PCAP_MICROS = 0xA1B2C3D4;
    private static final int PCAP_NANOS = 0xA1B23C4D;
    private static final int INTERFACE = 1;
    private static final int SIMPLE_PACKET = 3;
    private static final int ENHANCED_PACKET = 6;
    private static final int OLD_PACKET = 2;
    private static final int RESOLUTION = 9;
    private static final int MOST_PACKET = 1 << 18;
    private static final int MOST_INTERFACES = 1000;

    final ByteWindow window;
    final PacketInterfaces interfaces = new PacketInterfaces();
    /** Captured bytes of the current packet. */
    int from;
    int captured;
    /** Its interface, counted through all sections. */
    int interfaceAt;
    /** Its time in units of its interface, unsigned; valid where {@link #timed}. */
    long units;
    boolean timed;
    /** Packets so far, this one included. */
    long number;
    /** Offset of the first byte that belongs to no whole packet, or -1. */
    long cutAt = -1;

    private boolean big;
    private boolean blocks;
    private boolean begun;
    private int sectionBase;

    PacketFile(ByteWindow window) {
        this.window = window;
    }

    /** Whether the bytes begin as one of the two do. */
    static boolean startsWith(byte[] b, int from, int limit) {
        if (limit - from < 12) return false;
        int magic = u32(b, from, true);
        if (magic == SECTION) return u32(b, from + 8, true) == BYTE_ORDER || u32(b, from + 8, false) == BYTE_ORDER;
        int other = Integer.reverseBytes(magic);
        return magic == PCAP_MICROS || magic == PCAP_NANOS || other == PCAP_MICROS || other == PCAP_NANOS;
    }

    String form() {
        return blocks ? "packet capture (pcapng)" : "packet capture (pcap)";
    }

    /** Moves to the next packet. @return false after the last */
    boolean next() {
        if (!begun) {
            begun = true;
            if (!window.need(12)) return cut();
            blocks = u32(window.bytes, window.pos, true) == SECTION;
            if (!blocks && !header()) return cut();
        }
        return blocks ? nextBlock() : nextRecord();
    }

    private boolean cut() {
        if (window.pos < window.limit || window.broken() != null) cutAt = window.offsetOf(window.pos);
        return false;
    }

    private boolean header() {
        if (!window.need(24)) return false;
        byte[] b = window.bytes;
        int magic = u32(b, window.pos, true);
        big = magic == PCAP_MICROS || magic == PCAP_NANOS;
        boolean nanos = u32(b, window.pos, big) == PCAP_NANOS;
        int major = u16(b, window.pos + 4);
        if (major != 2) throw fault(window.pos + 4, "is a pcap of version " + major + ", which is not known");
        // The low 16 bits name the link type; above them stand bits about a check sequence.
        interfaces.add(u32(b, window.pos + 20, big) & 0xFFFF, nanos ? 9 : 6);
        window.pos += 24;
        return true;
    }

    private boolean nextRecord() {
        if (!window.need(16)) return cut();
        byte[] b = window.bytes;
        long seconds = u32(b, window.pos, big) & 0xFFFF_FFFFL;
        long fraction = u32(b, window.pos + 4, big) & 0xFFFF_FFFFL;
        long length = u32(b, window.pos + 8, big) & 0xFFFF_FFFFL;
        long perSecond = interfaces.unitsPerSecond(0);
        if (length > MOST_PACKET || fraction >= perSecond) {
            throw fault(window.pos, "is damaged: no packet can begin here");
        }
        if (!window.need(16 + (int) length)) return cut();
        from = window.pos + 16;
        captured = (int) length;
        units = seconds * perSecond + fraction;
        timed = true;
        interfaceAt = 0;
        number++;
        window.pos += 16 + captured;
        return true;
    }

    private boolean nextBlock() {
        while (window.need(12)) {
            int type = u32(window.bytes, window.pos, big);
            if (type == SECTION) section();             // the same in either byte order
            int length = blockLength(window.pos);
            if (!window.need(length)) return cut();
            int at = window.pos;
            if (u32(window.bytes, at + length - 4, big) != length) {
                throw fault(at, "is damaged: the block that begins here ends with another length than it says");
            }
            boolean packet = block(type, at, length);
            window.pos = at + length;
            if (packet) return true;
        }
        return cut();
    }

    private void section() {
        int order = u32(window.bytes, window.pos + 8, true);
        big = order == BYTE_ORDER;
        if (!big && Integer.reverseBytes(order) != BYTE_ORDER) {
            throw fault(window.pos + 8, "is damaged: a section does not tell its byte order");
        }
        sectionBase = interfaces.count();
    }

    private int blockLength(int at) {
        long length = u32(window.bytes, at + 4, big) & 0xFFFF_FFFFL;
        if (length < 12 || length % 4 != 0 || length > ByteWindow.LARGEST / 2) {
            throw fault(at + 4, "is damaged: a block cannot be " + length + " bytes long");
        }
        return (int) length;
    }

    /** @return whether it holds a packet */
    private boolean block(int type, int at, int length) {
        byte[] b = window.bytes;
        int body = length - 12;
        if (type == INTERFACE) {
            if (body < 8) throw fault(at, "is damaged: the description of an interface is too short");
            if (interfaces.count() >= MOST_INTERFACES) throw fault(at, "names more than 1000 interfaces");
            interfaces.add(u16(b, at + 8), resolution(at + 16, at + length - 4));
            return false;
        }
        int head = type == SIMPLE_PACKET ? 4 : 20;
        if (type != SIMPLE_PACKET && type != ENHANCED_PACKET && type != OLD_PACKET) return false;
        number++;
        if (body < head) throw fault(at, "is damaged: a packet is too short");
        timed = type != SIMPLE_PACKET;
        int ofSection = type == SIMPLE_PACKET ? 0 : type == OLD_PACKET ? u16(b, at + 8) : u32(b, at + 8, big);
        interfaceAt = sectionBase + ofSection;
        if (ofSection < 0 || interfaceAt >= interfaces.count()) {
            throw fault(at + 8, "is damaged: a packet names an interface that was not described");
        }
        if (timed) units = (long) u32(b, at + 12, big) << 32 | u32(b, at + 16, big) & 0xFFFF_FFFFL;
        long stored = timed ? u32(b, at + 20, big) & 0xFFFF_FFFFL
                : Math.min(u32(b, at + 8, big) & 0xFFFF_FFFFL, body - head);
        if (stored > body - head) throw fault(at, "is damaged: a packet is longer than its block");
        from = at + 8 + head;
        captured = (int) stored;
        return true;
    }

    /** The option that tells the unit of times: a power of ten, or with its top bit a power of two; else 10^-6. */
    private int resolution(int optionsFrom, int until) {
        int at = optionsFrom;
        while (at + 4 <= until) {
            int code = u16(window.bytes, at);
            int length = u16(window.bytes, at + 2);
            if (code == 0) break;
            if (code == RESOLUTION && length >= 1 && at + 5 <= until) return window.bytes[at + 4] & 0xFF;
            at += 4 + (length + 3) / 4 * 4;
        }
        return 6;
    }

    private int u16(byte[] b, int at) {
        int first = b[at] & 0xFF;
        int second = b[at + 1] & 0xFF;
        return big ? first << 8 | second : second << 8 | first;
    }

    private static int u32(byte[] b, int at, boolean highFirst) {
        int value = (b[at] & 0xFF) << 24 | (b[at + 1] & 0xFF) << 16 | (b[at + 2] & 0xFF) << 8 | b[at + 3] & 0xFF;
        return highFirst ? value : Integer.reverseBytes(value);
    }

    private InputFault fault(int index, String what) {
        return new InputFault(Place.bytes(window.name(), window.offsetOf(index)), what,
                "take the file again from where it was made");
    }
}
