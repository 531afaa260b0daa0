package buswitness.calibrate;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.clashes.ClashFindings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.Decoded;
import buswitness.frames.FrameReader;
import buswitness.frames.MessageKey;
import buswitness.problem.NoticeLog;
import buswitness.problem.Progress;
import buswitness.schema.BusFormat;
import buswitness.schema.Layout;
import buswitness.simulate.FrameTruth;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import buswitness.simulate.TruthSink;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * One slow bus through simulator, recogniser, decoder and judgement, held against the truth.
 *
 * @param recognised what the wire was taken for; its own coding where all is well
 * @param accused    messages with one sender that were accused
 * @param open       messages with one sender that were left undecided
 * @param messages   judged
 * @param judged     how the message with two senders came out; null where there is none
 * @param alike      of the turns in which both sent at once, the share in which the bytes were the same; NaN for none
 * @param wholeFirst frames of the clash that came through whole, by the first sender alone
 * @param wholeSecond by the second alone
 * @param damaged    frames of the clash that were damaged
 */
record SlowTrial(SlowBus bus, String recognised, List<String> accused, List<String> open, int messages,
                 Outcome.Judged judged, double alike, int wholeFirst, int wholeSecond, int damaged) {

    /** What really happened to the message with two senders. */
    private static final class Truth implements TruthSink {
        private final long key;
        private int together;
        private int alike;
        private int first;
        private int second;

        Truth(long key) {
            this.key = key;
        }

        @Override
        public void frame(FrameTruth frame) {
            List<FrameTruth.Sender> by = frame.senders().stream().filter(s -> s.key() == key).toList();
            if (by.size() > 1) {
                together++;
                if (Arrays.equals(by.get(0).data(), by.get(1).data())) alike++;
            }
            List<FrameTruth.Sender> through = by.stream().filter(FrameTruth.Sender::completed).toList();
            if (!frame.whole() || through.size() != 1) return;
            if (through.get(0).node().equals("second")) second++;
            else first++;
        }
    }

    /** @param layoutOrNull describes the format where it is not built in */
    static SlowTrial run(BusFormat format, Layout layoutOrNull, long seed) {
        SlowBus bus = SlowBus.of(format, seed);
        Truth truth = new Truth(bus.clashKey());
        Scenario scenario = bus.scenario();
        NoticeLog notices = new NoticeLog(10);
        FrameReader reader = new FrameReader(FrameReader.Options.of(layoutOrNull, Double.NaN,
                scenario.recorder().tickPicos()), 0, notices);
        Simulations.run(scenario, reader, truth);
        Decoded decoded = reader.finish();
        ClashFindings found = Analysis.judge(new AnalysisReading(scenario.info(), scenario.recorder().line(), layoutOrNull,
                false, decoded, notices.kept(), notices.seen()), Progress.SILENT).clashes();
        List<String> accused = new ArrayList<>();
        List<String> open = new ArrayList<>();
        for (MessageFinding m : found.messages()) {
            if (m.key() == bus.clashKey()) continue;
            if (m.verdict() == Verdict.TWO_SENDERS) accused.add(MessageKey.text(m.key()));
            if (m.verdict() == Verdict.UNDECIDED) open.add(MessageKey.text(m.key()));
        }
        MessageFinding clash = bus.clashKey() < 0 ? null : found.message(bus.clashKey());
        Outcome.Judged judged = bus.clashKey() < 0 ? null : clash == null ? Outcome.Judged.UNSEEN : switch (clash.verdict()) {
            case TWO_SENDERS -> Outcome.Judged.FOUND;
            case UNDECIDED -> Outcome.Judged.UNDECIDED;
            case ONE_SENDER -> Outcome.Judged.MISSED;
        };
        return new SlowTrial(bus, decoded.bus().coding(), accused, open, found.messages().size(), judged,
                truth.together == 0 ? Double.NaN : (double) truth.alike / truth.together, truth.first, truth.second,
                clash == null ? 0 : clash.damaged());
    }
}
