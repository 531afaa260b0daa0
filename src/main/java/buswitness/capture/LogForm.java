package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import java.util.Arrays;

/** Reads our bit-timed log: a header, then one change per line. The form is described in captures/README.md. */
final class LogForm implements Form {
    private static final int VERSION = 1;
    private final LogHeader header;
    private final RecordingInfo info;

    private LogForm(LogHeader header, String source) {
        this.header = header;
        this.info = new RecordingInfo(source, "bit-timed log", "", header.tickPicos, header.lines, header.notes);
    }

    static LogForm open(ByteWindow in) {
        return new LogForm(readHeader(new TextLines(in)), in.name());
    }

    private static LogHeader readHeader(TextLines lines) {
        LogHeader header = new LogHeader();
        lines.next();
        String version = lines.text().substring(LogHeader.MAGIC.length()).strip();
        if (!version.equals(Integer.toString(VERSION))) {
            throw new InputFault(lines.place(), "this log is of version \"" + LogHeader.clip(version)
                    + "\", only version 1 is known", "read it with a newer Buswitness");
        }
        while (lines.next()) {
            if (lines.blank() || lines.window.bytes[lines.from] == '#') continue;
            if (header.take(lines.text(), lines.place())) {
                header.complete(lines.place());
                return header;
            }
        }
        throw new InputFault(lines.place(), "the header never ends", "add the line changes: before the first change");
    }

    @Override
    public RecordingInfo header() {
        return info;
    }

    @Override
    public void read(ByteWindow in, EdgeGatherer out, NoticeLog notices) {
        TextLines lines = new TextLines(in);
        readHeader(lines);
        new Body(header, lines, out, notices).read();
    }

    /** One reading of the changes. */
    private static final class Body {
        private final LogHeader header;
        private final TextLines lines;
        private final EdgeGatherer out;
        private final NoticeLog notices;
        private final DecimalTime time;
        private final boolean several;
        private final long[] lastOfLine;
        private long now = Long.MIN_VALUE;
        private boolean over;

        Body(LogHeader header, TextLines lines, EdgeGatherer out, NoticeLog notices) {
            this.header = header;
            this.lines = lines;
            this.out = out;
            this.notices = notices;
            this.time = new DecimalTime(header.unit.picos);
            this.several = header.lines.size() > 1;
            this.lastOfLine = new long[header.lines.size()];
            Arrays.fill(lastOfLine, Long.MIN_VALUE);
        }

        void read() {
            begin();
            while (lines.next()) {
                int from = lines.from;
                if (from == lines.to || lines.window.bytes[from] == '#' || lines.blank()) continue;
                if (over) throw fault(from, "an entry follows the end", "move it before the end, or remove it");
                if (!lines.whole) {
                    cutShort();
                    break;
                }
                entry();
            }
            if (lines.window.broken() != null) notices.add(new Notice(lines.place(), "The file "
                    + lines.window.broken() + "; what came before was read."));
            if (!over) {
                if (now == Long.MIN_VALUE) throw fault(lines.from, "no change follows the header", "record again");
                notices.add(new Notice(lines.place(), "The log has no end entry: taken to end at its last entry."));
                out.end(now);
            }
        }

        private void begin() {
            byte[] start = header.start.getBytes(java.nio.charset.StandardCharsets.UTF_8);
            if (!time.read(start, 0, start.length) || time.picosFrom(0, 0) < 0) {
                throw new InputFault(lines.place(), "the start \"" + LogHeader.clip(header.start)
                        + "\" is not a time in " + header.unit.word(), "write a number, 0 or more");
            }
            long at = time.picosFrom(0, 0);
            for (int i = 0; i < header.lines.size(); i++) {
                if (header.idle.get(i) < 0) continue;
                out.level(i, at, header.idle.get(i));
                now = at;
            }
        }

        /** The last line lacks its line feed: taken if it is an entry all the same, else named and left. */
        private void cutShort() {
            try {
                entry();
            } catch (InputFault unfinished) {
                notices.add(new Notice(lines.place(), "The log is cut short in its last line, which was left out."));
            }
        }

        private void entry() {
            byte[] b = lines.window.bytes;
            int to = lines.to;
            int i = lines.from;
            while (i < to && b[i] != ' ' && b[i] != '\t') i++;
            long at = timeOf(lines.from, i);
            if (at < now) {
                throw fault(lines.from, "time goes backwards here", "put the entries in time order");
            }
            i = blanks(b, i, to);
            int line = 0;
            if (several && i < to && (b[i] >= '0' && b[i] <= '9' || b[i] == 'a')) {
                int start = i;
                while (i < to && b[i] != ' ' && b[i] != '\t') i++;
                line = lineNumber(b, start, i);
                i = blanks(b, i, to);
            } else if (several) {
                line = -2;
            }
            now = at;
            if (line >= 0 && to - i == 1 && (b[i] == '0' || b[i] == '1')) {
                out.level(line, at, b[i] - '0');
                lastOfLine[line] = at;
            } else {
                word(i, line, at);
            }
        }

        private long timeOf(int from, int to) {
            byte[] b = lines.window.bytes;
            boolean relative = b[from] == '+';
            if (!time.read(b, relative ? from + 1 : from, to)) {
                throw fault(from, "\"" + LogHeader.clip(lines.text(from, to)) + "\" is not a time",
                        "write TIME LEVEL, for example 1000 0");
            }
            long at = time.picosFrom(0, 0);
            if (relative && now != Long.MIN_VALUE) at = at > Long.MAX_VALUE - now ? DecimalTime.TOO_FAR : at + now;
            if (at < 0) {
                throw fault(from, at == DecimalTime.TOO_FAR ? "the time lies beyond 106 days" : "the time is negative",
                        "count from the start of the recording");
            }
            return at;
        }

        /** @return index from 0, or -1 for all */
        private int lineNumber(byte[] b, int from, int to) {
            if (to - from == 3 && b[from] == 'a' && b[from + 1] == 'l' && b[from + 2] == 'l') return -1;
            int n = 0;
            for (int i = from; i < to; i++) {
                n = b[i] < '0' || b[i] > '9' || n > LogHeader.MOST_LINES ? Integer.MAX_VALUE / 16 : n * 10 + b[i] - '0';
            }
            if (n < 1 || n > lastOfLine.length) {
                throw fault(from, "\"" + LogHeader.clip(lines.text(from, to)) + "\" is not the number of a line",
                        "use 1 to " + lastOfLine.length + ", or all for a gap on every line");
            }
            return n - 1;
        }

        private void word(int from, int line, long at) {
            String text = lines.text(from, lines.to).strip();
            boolean free = line == -2 || !several;
            if (free && text.equals("end")) {
                out.end(at);
                over = true;
            } else if (free && text.startsWith("mark ")) {
                out.mark(at, text.substring(5).strip());
            } else if (line != -2 && line != -1 && text.startsWith("levels ")) {
                out.levels(LevelWords.read(text, several ? line : 0, at, lines.place(from)));
            } else if (line != -2 && text.startsWith("gap since ")) {
                gap(from, text.substring(10).strip(), several ? line : 0, at);
            } else {
                throw fault(from, "\"" + LogHeader.clip(text) + "\" is not what an entry can say", several
                        ? "write TIME LINE 0, TIME LINE 1, TIME LINE gap since TIME, TIME mark LABEL or TIME end"
                        : "write TIME 0, TIME 1, TIME gap since TIME, TIME mark LABEL or TIME end");
            }
        }

        private void gap(int column, String rest, int line, long at) {
            int blank = rest.indexOf(' ');
            byte[] since = (blank < 0 ? rest : rest.substring(0, blank)).getBytes(
                    java.nio.charset.StandardCharsets.UTF_8);
            long from = time.read(since, 0, since.length) ? time.picosFrom(0, 0) : -1;
            long known = line >= 0 ? lastOfLine[line] : Arrays.stream(lastOfLine).max().orElse(Long.MIN_VALUE);
            if (from < 0 || from > at || from < known) {
                throw fault(column, "the gap must begin between the last change before it and its own time",
                        "write the time of its end, then gap since and the time of its beginning");
            }
            String why = blank < 0 ? "not recorded" : rest.substring(blank + 1).strip();
            if (from < at) out.gap(line, from, at, why);
        }

        private static int blanks(byte[] b, int from, int to) {
            int i = from;
            while (i < to && (b[i] == ' ' || b[i] == '\t')) i++;
            return i;
        }

        private InputFault fault(int index, String what, String toDo) {
            return new InputFault(lines.place(index), what, toDo);
        }
    }
}
