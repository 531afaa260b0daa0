package buswitness.clashes;

import buswitness.frames.BitString;
import buswitness.frames.BusInfo;
import buswitness.frames.CanFrameBits;
import buswitness.frames.FdFrameBits;
import buswitness.frames.FormatBits;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.Layout;
import buswitness.schema.LineFormat;
import java.util.Map;

/**
 * What the sender of a whole frame meant to put on the wire, on any bus.
 *
 * @param coding of the bus
 * @param format null on CAN and CAN FD
 */
record Meant(String coding, BusFormat format) {
    static Meant of(BusInfo bus, Layout layout) {
        return new Meant(bus.coding(), BusFormats.of(bus.coding(), layout));
    }

    /** CAN or CAN FD, with their error flags and counters. */
    boolean isCan() {
        return coding.equals("can") || isFlexible();
    }

    /** The line of a described bus of stuffed bits; null on any other. */
    LineFormat.Stuffed stuffedLine() {
        return format != null && format.line() instanceof LineFormat.Stuffed line ? line : null;
    }

    /** Two nodes that start together break each other's frames with error flags, and try again. */
    boolean breaksFrames() {
        LineFormat.Stuffed line = stuffedLine();
        return isCan() || line != null && line.errorFlags() && line.stuffAfter() > 0 && !arbitratesThroughout();
    }

    /** Whether a sender misses the acknowledge of a receiver. */
    boolean isAcknowledged() {
        return isCan() || stuffedLine() != null && stuffedLine().acknowledge();
    }

    /** CAN FD, classical frames among its own. */
    boolean isFlexible() {
        return coding.equals("can-fd");
    }

    /** A master asks for each message, so that times say nothing about who answers. */
    boolean isAsked() {
        return format != null && format.naming().answer() != null;
    }

    boolean isOfBytes() {
        return format != null && format.line() instanceof LineFormat.Bytes;
    }

    /** The loser of a start together falls silent without damage, anywhere in the frame. */
    boolean arbitratesThroughout() {
        return format != null && format.arbitration() == BusFormat.Arbitration.WHOLE_FRAME;
    }

    /**
     * On CAN start of frame to last check bit without stuff bits; else first field to last, each number highest bit first.
     * Of a CAN FD frame as a sender says it whose counters are low: how they stood in another frame is not known.
     */
    BitString bits(FrameLog log, int frame) {
        long name = MessageKey.identifier(log.key(frame));
        if (log.isFlexible(frame)) {
            return FdFrameBits.of((int) name, MessageKey.isExtended(log.key(frame)), log.switchesRate(frame), false,
                    log.data(frame)).plain();
        }
        if (format == null) {
            return CanFrameBits.unstuffed((int) name, MessageKey.isExtended(log.key(frame)), false,
                    log.lengthCode(frame), log.data(frame));
        }
        return fields(log, frame, false).bits();
    }

    /** The same from the start bit on, where a bus has one. */
    BitString bitsFromStart(FrameLog log, int frame) {
        if (stuffedLine() == null) return bits(log, frame);
        BitString all = new BitString();
        all.add(0);
        BitString fields = bits(log, frame);
        for (int i = 0; i < fields.size(); i++) all.add(fields.get(i));
        return all;
    }

    /** Bits of a frame, from its start bit on, in which a sender may lose without damage. */
    int arbitrationBits(FrameLog log, int frame) {
        if (format == null) return CanFrameBits.arbitrationBits(MessageKey.isExtended(log.key(frame)));
        return format.arbitration() == BusFormat.Arbitration.IDENTIFIER ? 1 + fields(log, frame, false).namedUntil() : 1;
    }

    /** @param secondCheck where the bus knows two checks, the second */
    FormatBits fields(FrameLog log, int frame, boolean secondCheck) {
        String sender = format.naming().sender();
        boolean said = sender != null && log.sender(frame) >= 0 && !format.naming().message().contains(sender);
        Map<String, Long> others = FormatBits.others(format, log.otherFields(frame));
        if (said) others.put(sender, (long) log.sender(frame));
        return FormatBits.of(format, MessageKey.identifier(log.key(frame)), others, log.data(frame), secondCheck);
    }
}
