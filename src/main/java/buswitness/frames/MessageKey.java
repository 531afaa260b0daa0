package buswitness.frames;

import buswitness.schema.Message;
import java.util.Locale;

/**
 * Names a message in one {@code long}: bits 0..47 the identifier (or the header that names the message where a bus has
 * no identifier), bits 48..55 how many hexadecimal digits it is written with (3 base CAN, 8 extended CAN).
 */
public final class MessageKey {
    /** A frame so damaged that its identifier could not be read. */
    public static final long UNKNOWN = -1;

    private MessageKey() {}

    /**
     * @param identifier 0 to 2^48 - 1
     * @param hexDigits  1 to 12
     */
    public static long of(long identifier, int hexDigits) {
        return (long) hexDigits << 48 | identifier & 0xFFFF_FFFF_FFFFL;
    }

    /** A base (11-bit) or extended (29-bit) CAN identifier. */
    public static long can(int identifier, boolean extended) {
        return of(identifier & 0xFFFF_FFFFL, extended ? 8 : 3);
    }

    /** The key of a documented message. */
    public static long of(Message message) {
        return of(message.identifier(), message.hexDigits());
    }

    public static long identifier(long key) {
        return key & 0xFFFF_FFFF_FFFFL;
    }

    /** Whether the key is an extended CAN identifier; other buses never use eight digits. */
    public static boolean isExtended(long key) {
        return key >= 0 && key >>> 48 == 8;
    }

    /** {@code 0x1D0}, {@code 0x18DB33F1}; {@code unknown} for {@link #UNKNOWN}. */
    public static String text(long key) {
        if (key < 0) return "unknown";
        return String.format(Locale.ROOT, "0x%0" + (key >>> 48) + "X", identifier(key));
    }
}
