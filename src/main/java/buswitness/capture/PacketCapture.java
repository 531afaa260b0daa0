package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.List;
import java.util.Locale;
import java.util.function.Consumer;

/** Reads the CAN or LIN frames of a packet capture, pcap or pcapng. Error packets are counted and told, never guessed upon. */
final class PacketCapture implements FrameSource {
    /** One malformed packet in so many is borne. */
    private static final int ONE_IN = 100;
    private static final String TO_DO = "capture on a CAN or LIN interface (link type 227 or 212)";

    private final RecordingInfo info;
    private final int wanted;

    private PacketCapture(RecordingInfo info, int wanted) {
        this.info = info;
        this.wanted = wanted;
    }

    /** @throws InputFault where its first packet is none of CAN, and nothing says that another could be */
    static PacketCapture open(ByteWindow in) {
        PacketFile packets = new PacketFile(in);
        String name = in.name();
        boolean any = packets.next();
        PacketInterfaces interfaces = packets.interfaces;
        int first = -1;
        for (int i = interfaces.count() - 1; i >= 0; i--) {
            if (interfaces.linkType(i) == PacketInterfaces.CAN || interfaces.linkType(i) == PacketInterfaces.LIN) first = i;
        }
        if (first < 0) {
            if (interfaces.count() > 0) throw wrongType(name, interfaces.linkType(0));
            throw new InputFault(Place.file(name), any ? "describes no interface"
                    : "is a packet capture that ends before "
                    + "its first packet", TO_DO);
        }
        double tick = interfaces.sensible(first) ? interfaces.tickPicos(first) : 1;
        return new PacketCapture(new RecordingInfo(name, packets.form(), "", tick, List.of("bus"), List.of()),
                interfaces.linkType(first));
    }

    private static InputFault wrongType(String name, int type) {
        return new InputFault(Place.file(name), "holds packets of link type " + type + ", not CAN (227) or LIN frames (212)", TO_DO);
    }

    @Override
    public RecordingInfo header() {
        return info;
    }

    @Override
    public FrameTableInfo read(ByteWindow in, Consumer<FrameRow> to, NoticeLog notices) {
        return new Reading(in, to, notices).all();
    }

    /** One reading of all packets. */
    private final class Reading {
        private final ByteWindow in;
        private final Consumer<FrameRow> to;
        private final NoticeLog notices;
        private final PacketFile packets;
        private final CanPacket can = new CanPacket();
        private final LinPacket lin = new LinPacket();
        private int used = -1;
        private boolean zeroKnown;
        private long zeroUnits;
        private long now;
        private long delivered;
        private long remote;
        private long events;
        private long skipped;
        private long elsewhere;
        private int elsewhereType;
        private Notice firstSkipped;

        Reading(ByteWindow in, Consumer<FrameRow> to, NoticeLog notices) {
            this.in = in;
            this.to = to;
            this.notices = notices;
            this.packets = new PacketFile(in);
        }

        FrameTableInfo all() {
            while (packets.next()) {
                int type = packets.interfaces.linkType(packets.interfaceAt);
                if (type != wanted) {
                    elsewhere++;
                    elsewhereType = type;
                    continue;
                }
                String why = packet();
                if (why != null) skip(why);
            }
            if (packets.cutAt >= 0) {
                notices.add(new Notice(Place.bytes(in.name(), packets.cutAt), "The file "
                        + (in.broken() == null ? "is cut short here" : in.broken()) + "; what came before was read."));
            }
            if (delivered == 0 && skipped == 0) throw none();
            if (skipped * ONE_IN > delivered + skipped) throw tooMany();
            say();
            return new FrameTableInfo(new RecordingInfo(info.source(), info.form(), in.drain(), info.tickPicos(),
                    info.lines(), info.notes()), FrameTableInfo.Stamped.UNKNOWN, Double.NaN, delivered, skipped, now,
                    wanted == PacketInterfaces.LIN ? "lin" : "can");
        }

        /** @return why the packet cannot be taken, or null */
        private String packet() {
            if (!packets.timed) return "it carries no time";
            oneInterface();
            if (!packets.interfaces.sensible(used)) {
                throw new InputFault(Place.file(in.name()), "its unit of time is impossible",
                        "take the file again from where it was made");
            }
            boolean isLin = wanted == PacketInterfaces.LIN;
            String why = isLin ? lin.read(in.bytes, packets.from, packets.captured)
                    : can.read(in.bytes, packets.from, packets.captured);
            if (why != null) return why;
            if (!zeroKnown) setZero();
            if (Long.compareUnsigned(packets.units, zeroUnits) < 0) {
                return "its time is before that of the first packet";
            }
            long at = packets.interfaces.picos(used, packets.units - zeroUnits);
            if (at < 0) return "its time lies more than 106 days from the first packet";
            if (at < now) return "its time is before that of the packet above";
            now = at;
            int line = (int) Math.min(packets.number, Integer.MAX_VALUE);
            if (isLin) {
                if (lin.event) {
                    events++;
                    return null;
                }
                delivered++;
                to.accept(new FrameRow(at, lin.identifier, false, lin.data, line, false, lin.fault));
                return null;
            }
            if (can.error) return null;
            if (can.remote) remote++;
            delivered++;
            to.accept(new FrameRow(at, can.identifier, can.extended, can.data, line, can.remote, FrameRow.RowFault.NONE));
            return null;
        }

        private void setZero() {
            zeroKnown = true;
            zeroUnits = packets.units;
            long perSecond = packets.interfaces.unitsPerSecond(used);
            if (zeroUnits == 0) return;
            notices.add(new Notice(Place.file(in.name()), "Times are counted from packet " + packets.number
                    + String.format(Locale.ROOT, ", %d s after 1970.", Long.divideUnsigned(zeroUnits, perSecond))));
        }

        private void oneInterface() {
            if (used < 0) used = packets.interfaceAt;
            if (used != packets.interfaceAt) {
                throw new InputFault(Place.file(in.name()), "holds frames of several interfaces (" + (used + 1)
                        + " and " + (packets.interfaceAt + 1) + "), which would mix two buses",
                        "save the packets of one interface in a file of their own");
            }
        }

        private void skip(String why) {
            Notice notice = new Notice(Place.file(in.name()), "Packet " + packets.number + " was left out: " + why
                    + ".");
            notices.add(notice);
            if (firstSkipped == null) firstSkipped = notice;
            skipped++;
        }

        private void say() {
            if (can.errors() > 0) {
                notices.add(new Notice(Place.file(in.name()), can.errors() + " error packet"
                        + (can.errors() == 1 ? " tells" : "s tell") + " of disturbed frames (" + can.errorClasses()
                        + "). They name no message, so they prove nothing about who disturbed whom."));
            }
            if (remote > 0) {
                notices.add(new Notice(Place.file(in.name()), remote + " remote frame" + (remote == 1 ? " is" : "s are")
                        + " listed: a request for a message tells nothing of who sends it."));
            }
            if (events > 0) {
                notices.add(new Notice(Place.file(in.name()), events + (events == 1 ? " packet tells" : " packets tell")
                        + " of sleep or wake-up and hold no frame."));
            }
            if (elsewhere > 0) {
                notices.add(new Notice(Place.file(in.name()), elsewhere + " packet" + (elsewhere == 1 ? "" : "s")
                        + " of other link types, such as " + elsewhereType + ", were left out."));
            }
        }

        private InputFault none() {
            if (elsewhere > 0) return wrongType(in.name(), elsewhereType);
            return new InputFault(Place.file(in.name()), "holds no CAN or LIN frame", "capture while the bus is awake");
        }

        private InputFault tooMany() {
            return new InputFault(firstSkipped.place(), skipped + " of " + (delivered + skipped)
                    + " packets cannot be used, the first of them is this: "
                    + firstSkipped.says().replaceAll("\\.$", ""), "take the file again from where it was made");
        }
    }
}
