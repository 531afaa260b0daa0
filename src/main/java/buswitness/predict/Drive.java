package buswitness.predict;

import buswitness.capture.EdgeSink;
import buswitness.clashes.ClashFindings;
import buswitness.frames.BusInfo;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Instruments;
import buswitness.schema.Instrument;
import buswitness.schema.Layout;
import buswitness.schema.Protection;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import java.util.ArrayList;
import java.util.List;

/**
 * One simulated drive, judged.
 *
 * @param instruments one finding for each instrument that the bus is to feed, then one for each protection that watches
 *                    the bus
 * @param meet        whether two schedules were made to meet in it
 */
record Drive(DriveLog log, ClashFindings clashes, List<InstrumentFinding> instruments, double seconds,
             DriveSetup.Meet meet) {
    static Drive take(Segment segment, long seed, double seconds, DriveSetup.Meet meet) {
        Scenario scenario = DriveSetup.scenario(segment, seed, seconds, meet);
        DriveLog log = new DriveLog(segment.nodes(), segment.bus());
        Simulations.run(scenario, EdgeSink.NOBODY, log);
        SharedBus bus = segment.bus();
        long end = Math.round(seconds * 1e12);
        BusInfo info = new BusInfo(bus.coding(), bus.bitsPerSecond(), 1, true, 1, Double.NaN, 0, 0, false, end);
        ClashFindings clashes = log.findings();
        Layout shown = new Layout("", bus.name(), bus.coding(), bus.bitsPerSecond(), bus.nodes(),
                bus.streams().stream().map(Stream::message).toList(), watched(bus));
        return new Drive(log, clashes, Instruments.replay(log.frames(), info, List.of(), clashes, shown).instruments(),
                seconds, meet);
    }

    /** Instruments on the bus, then protections, which see a value as a lamp does. */
    static List<Instrument> watched(SharedBus bus) {
        List<Instrument> out = new ArrayList<>();
        for (Instrument i : bus.instruments()) {
            boolean wired = bus.wires().containsKey(i.name()) && bus.wires().get(i.name()).fitted();
            if (!wired) out.add(i);
        }
        for (Protection p : bus.protections()) if (p.watch() != null) out.add(p.watch());
        return out;
    }
}
