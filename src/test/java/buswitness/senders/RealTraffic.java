package buswitness.senders;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.zip.ZipInputStream;

/**
 * Real traffic of one car (D. Stabili et al., IEEE TVT 2022, doi 10.1109/TVT.2022.3190721; MIT licence), kept outside
 * the project. Folder: system property {@code buswitness.v40}, environment BUSWITNESS_V40, or the default beside the
 * project.
 */
record RealTraffic(FrameLog log, BusInfo bus, boolean[] second) {
    static Path folder() {
        String named = System.getProperty("buswitness.v40", System.getenv("BUSWITNESS_V40"));
        return Path.of(named == null ? "../shared/data/v40" : named);
    }

    static boolean present() {
        return Files.isDirectory(folder());
    }

    /** Starts are the time stamps, of which nothing says whether they are start or end: no frame is a free start. */
    static RealTraffic read(String zip) throws IOException {
        FrameLog log = new FrameLog();
        boolean[] second = new boolean[1024];
        try (ZipInputStream in = new ZipInputStream(Files.newInputStream(folder().resolve(zip)))) {
            in.getNextEntry();
            BufferedReader lines = new BufferedReader(new InputStreamReader(in, StandardCharsets.US_ASCII));
            lines.readLine();
            LogRow row = new LogRow();
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                String[] column = line.split(",");
                row.clear();
                row.startPicos = Math.round(Double.parseDouble(column[0]) * 1e12);
                row.endPicos = row.startPicos;
                row.key = MessageKey.can(Integer.parseInt(column[1], 16), false);
                row.dataLength = row.lengthCode = column[3].length() / 2;
                for (int i = 0; i < row.dataLength; i++) {
                    row.data[i] = (byte) Integer.parseInt(column[3].substring(2 * i, 2 * i + 2), 16);
                }
                if (log.size() == second.length) second = Arrays.copyOf(second, second.length * 2);
                second[log.size()] = column[5].equalsIgnoreCase("true");
                log.add(row);
            }
        }
        long end = log.startPicos(log.size() - 1);
        return new RealTraffic(log, new BusInfo("can", Double.NaN, 0, false, 1, Double.NaN, 0, 0, false, end), second);
    }
}
