package buswitness.testing;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Clashes;
import buswitness.clashes.Verdict;
import buswitness.frames.Decoded;
import buswitness.frames.FrameLog;
import buswitness.frames.FrameReader;
import buswitness.frames.MessageKey;
import buswitness.problem.NoticeLog;
import buswitness.senders.Senders;
import buswitness.simulate.FrameTruth;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** A scenario written out, simulated, decoded as its own coding and judged without a layout. */
public record JudgedScenario(FrameLog frames, ClashFindings findings, List<FrameTruth> truth) {

    /** @param folder for the scenario's file */
    public static JudgedScenario of(Path folder, String text) throws IOException {
        Path file = folder.resolve("bus.scenario.yaml");
        Files.writeString(file, text);
        Scenario scenario = Simulations.load(file);
        FrameReader reader = new FrameReader(new FrameReader.Options(scenario.bus().format().name(), scenario.bitsPerSecond(),
                scenario.recorder().tickPicos(), scenario.bus().format(), Double.NaN), 0, new NoticeLog(10));
        List<FrameTruth> truth = new ArrayList<>();
        Simulations.run(scenario, reader, truth::add);
        Decoded decoded = reader.finish();
        return new JudgedScenario(decoded.frames(), Clashes.judge(decoded.frames(), decoded.bus(), decoded.gaps(),
                Senders.find(decoded.frames(), decoded.bus(), decoded.gaps(), null), null), truth);
    }

    /** Messages that are not said to have one sender, with what is said. */
    public List<String> notOne() {
        return findings.messages().stream().filter(m -> m.verdict() != Verdict.ONE_SENDER)
                .map(m -> MessageKey.text(m.key()) + " " + m.verdict().text()).toList();
    }

    public long superposed() {
        return truth.stream().filter(f -> !f.whole() && f.senders().size() > 1).count();
    }
}
