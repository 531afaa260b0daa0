package buswitness.probe;

import buswitness.capture.Recording;
import buswitness.capture.Recordings;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Takes recordings from a serial probe, and plays the probe for a test. Stateless. */
public final class Probes {
    private Probes() {}

    /** Serial ports of this computer, one line each. */
    public static List<String> list() {
        return SerialPorts.list();
    }

    /**
     * Records until told to stop. The file is written block by block and forced to disk each second.
     *
     * @throws InputFault where the port or the file cannot be used, nothing that speaks the line protocol answers, or the
     *                    disk takes no more; what was recorded until then stays
     */
    public static RecordSummary record(RecordOptions options, RecordControl control) {
        return record(options, control, Bench.real());
    }

    static RecordSummary record(RecordOptions options, RecordControl control, Bench bench) {
        if (Files.exists(options.out())) throw exists(options.out());
        try (ProbeRecorder recorder = new ProbeRecorder(options, control, bench)) {
            return recorder.run();
        } catch (UncheckedIOException e) {
            throw unwritable(options.out(), e.getCause());
        } catch (IOException e) {
            throw unwritable(options.out(), e);
        }
    }

    static InputFault exists(Path out) {
        return new InputFault(Place.file(out.toString()), "exists already, and a recording never overwrites",
                "name another file");
    }

    private static InputFault unwritable(Path out, IOException e) {
        String why = e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
        return new InputFault(Place.file(out.toString()), "cannot be written (" + why
                + "); what was recorded before is whole", "make room or check the folder's permissions");
    }

    /**
     * Plays a recording into a port, as a probe on that bus would have sent it.
     *
     * @param line  which of its lines, or null for the only one that moves
     * @param speed 1 for true speed, more for faster
     */
    public static void emulate(Recording recording, String line, Path port, double speed) {
        int wanted = recording.chooseLine(line);
        try (OutputStream out = new FileOutputStream(port.toFile())) {
            recording.read(new EmulatedProbe(out, wanted, recording.info(), speed), Progress.SILENT);
        } catch (IOException e) {
            throw unplayable(port, e);
        } catch (UncheckedIOException e) {
            throw unplayable(port, e.getCause());
        }
    }

    private static InputFault unplayable(Path port, IOException e) {
        return new InputFault(Place.file(port.toString()), "cannot be written as a port (" + e.getMessage() + ")",
                "name one end of a pair of pseudo terminals");
    }
}
