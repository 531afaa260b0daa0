package buswitness.instruments;

import buswitness.clashes.ClashFindings;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import buswitness.schema.Layout;
import java.util.ArrayList;
import java.util.List;

/**
 * Replays every gauge and lamp of a layout as the driver would have seen it, and says what is wrong with it and why.
 * Blames two senders only where the message's verdict does and the turns themselves follow the senders.
 */
public final class Instruments {
    private Instruments() {}

    /**
     * @param layout null where none was given: then nothing can be replayed
     * @return one finding for each instrument of the layout, in its order
     */
    public static InstrumentFindings replay(FrameLog frames, BusInfo bus, List<Gap> gaps, ClashFindings clashes,
                                            Layout layout) {
        List<InstrumentFinding> out = new ArrayList<>();
        if (layout == null) return new InstrumentFindings(out);
        double[] gapStarts = gaps.stream().mapToDouble(g -> g.fromPicos() * 1e-12).toArray();
        double end = bus.durationPicos() * 1e-12;
        for (Instrument instrument : layout.instruments()) {
            SignalSeries series = SignalSeries.read(frames, gaps, clashes, instrument);
            NodeAway node = new NodeAway(layout, instrument.message(), frames, clashes, end);
            Silences silences = new Silences(series, instrument.message(), frames, clashes, node, end, gapStarts);
            Replay.Played played = Replay.play(instrument, series, end, gapStarts);
            Jumps jumps = jumps(instrument, series);
            SenderChange.SameTrack track = track(instrument, series, jumps);
            Facts facts = new Facts(instrument, series, played, silences, jumps,
                    SenderChange.of(series, jumps.reversalsAt(), track),
                    HiddenPage.find(instrument.message(), instrument.signal(), series, jumps, track),
                    MeantValues.of(instrument.signal(), series.key, clashes), clashes, end);
            out.add(instrument instanceof Gauge gauge ? new GaugeJudge(gauge, facts).judge()
                    : new LampJudge((Lamp) instrument, facts).judge());
        }
        return new InstrumentFindings(out);
    }

    private static Jumps jumps(Instrument instrument, SignalSeries series) {
        return instrument instanceof Gauge gauge ? Jumps.of(gauge, series) : Jumps.of((Lamp) instrument, series);
    }

    private static SenderChange.SameTrack track(Instrument instrument, SignalSeries series, Jumps jumps) {
        if (instrument instanceof Lamp lamp) {
            return (earlier, later) -> lamp.isLit(series.value[earlier]) == lamp.isLit(series.value[later]);
        }
        return (earlier, later) -> sameTrack(series, jumps, earlier, later);
    }

    /** Within what the rate explains, or within a quarter of the jump where that is more. */
    private static boolean sameTrack(SignalSeries series, Jumps jumps, int earlier, int later) {
        double moved = Math.abs(series.value[later] - series.value[earlier]);
        double elapsed = series.at[later] - series.at[earlier];
        double jump = later > 0 ? Math.abs(series.value[later] - series.value[later - 1]) : 0;
        return moved <= jumps.ratePerSecond * elapsed + Math.max(jumps.allowance, 0.25 * jump);
    }
}
