package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.Map;

/**
 * Reads value change dumps, IEEE 1364-2005 clause 18. Scalars are lines; x and z mean that the level is not known;
 * vectors and reals are passed over.
 */
final class VcdForm implements Form {
    private final VcdHeader header;
    private final RecordingInfo info;

    private VcdForm(VcdHeader header, String source) {
        this.header = header;
        double tick = Double.isNaN(header.tickPicos) ? header.scaleFemtos / 1000.0 : header.tickPicos;
        this.info = new RecordingInfo(source, "VCD", "", LogHeader.sensible(tick, Place.file(source)), header.names,
                header.notes);
    }

    static VcdForm open(ByteWindow in) {
        return new VcdForm(VcdHeader.read(new VcdTokens(in)), in.name());
    }

    @Override
    public RecordingInfo header() {
        return info;
    }

    @Override
    public Map<String, String> refused() {
        return header.refused;
    }

    @Override
    public Map<String, Integer> aliases() {
        return header.lineOfFullName;
    }

    @Override
    public void read(ByteWindow in, EdgeGatherer out, NoticeLog notices) {
        VcdTokens tokens = new VcdTokens(in);
        VcdHeader.read(tokens);
        new Body(header, tokens, out, notices).read();
    }

    /** One reading of the value changes. */
    private static final class Body {
        private final VcdTokens tokens;
        private final EdgeGatherer out;
        private final NoticeLog notices;
        private final VcdCodes codes;
        private final long scaleFemtos;
        private final long scalePicos;
        private final long mostSteps;
        private long now;
        private boolean timed;
        private boolean valued;
        private long undeclared;

        Body(VcdHeader header, VcdTokens tokens, EdgeGatherer out, NoticeLog notices) {
            this.tokens = tokens;
            this.out = out;
            this.notices = notices;
            this.codes = new VcdCodes(header.lineOfCode);
            this.scaleFemtos = header.scaleFemtos;
            this.scalePicos = scaleFemtos >= 1000 ? scaleFemtos / 1000 : 0;
            this.mostSteps = Long.MAX_VALUE / scaleFemtos;
        }

        void read() {
            while (tokens.next()) {
                if (!tokens.whole && tokens.window.broken() != null) break;
                try {
                    word();
                } catch (InputFault unfinished) {
                    if (!tokens.window.atEnd()) throw unfinished;
                    notices.add(new Notice(unfinished.place(),
                            "The dump is cut short in its last word, which was left out."));
                }
            }
            if (tokens.window.broken() != null) {
                notices.add(new Notice(tokens.place(), "The file " + tokens.window.broken()
                        + "; what came before was read."));
            }
            if (undeclared > 0) {
                notices.add(new Notice(tokens.place(), undeclared
                        + " values of variables that the header does not declare were passed over."));
            }
            if (!timed || !valued) {
                throw new InputFault(tokens.place(), "no value of a single wire follows the declarations",
                        "record again");
            }
            out.end(now);
        }

        private void word() {
            switch (tokens.window.bytes[tokens.from]) {
                case '#' -> time();
                case '0', 'l', 'L' -> scalar(0);
                case '1', 'h', 'H' -> scalar(1);
                case 'x', 'X', 'z', 'Z', 'u', 'U', 'w', 'W', '-' -> scalar(-1);
                case 'b', 'B' -> vector();
                case 'r', 'R', 's', 'S' -> tokens.next();
                case '$' -> section();
                default -> throw unknown();
            }
        }

        private void time() {
            byte[] b = tokens.window.bytes;
            long steps = 0;
            int digits = tokens.to - tokens.from - 1;
            for (int i = tokens.from + 1; i < tokens.to; i++) {
                int digit = b[i] - '0';
                if (digit < 0 || digit > 9 || digits > 18) throw badTime();
                steps = steps * 10 + digit;
            }
            if (digits == 0) throw badTime();
            long at = scalePicos > 0 ? steps <= Long.MAX_VALUE / scalePicos ? steps * scalePicos : -1
                    : (steps * scaleFemtos + 500) / 1000;
            if (at < 0 || scalePicos == 0 && steps > mostSteps - 500) {
                throw new InputFault(tokens.place(), "the time " + tokens.text() + " lies beyond 106 days",
                        "count from the start of the recording");
            }
            if (at < now) {
                if (!tokens.whole) return;                 // the last number of a file cut short
                throw new InputFault(tokens.place(), "time goes backwards at " + tokens.text(),
                        "check that one recording only is in the file");
            }
            now = at;
            timed = true;
        }

        private InputFault badTime() {
            return new InputFault(tokens.place(), "\"" + LogHeader.clip(tokens.text()) + "\" is not a time",
                    "write # and a whole number of at most 18 digits");
        }

        private void scalar(int level) {
            if (tokens.to == tokens.from + 1) throw unknown();
            value(tokens.from + 1, level);
        }

        private void vector() {
            byte last = tokens.window.bytes[tokens.to - 1];
            int level = last == '0' || last == '1' ? last - '0' : -1;
            if (tokens.next()) value(tokens.from, level);
        }

        private void value(int codeFrom, int level) {
            int line = codes.lineOf(tokens.window.bytes, codeFrom, tokens.to);
            if (line >= 0) {
                valued = true;
                if (level >= 0) {
                    out.level(line, now, level);
                } else {
                    out.unknown(line, now, "the level is given as unknown");
                }
            } else if (line == VcdCodes.UNDECLARED) {
                if (!tokens.whole) return;
                undeclared++;
            }
        }

        private void section() {
            if (tokens.is("$dumpoff")) {
                out.unknownAll(now, "dumping was switched off");
            } else if (tokens.is("$comment")) {
                String text = tokens.rawUntilEnd();
                if (text.startsWith("mark: ")) out.mark(now, LogHeader.singleLine(text.substring(6)));
            } else if (!tokens.is("$dumpvars") && !tokens.is("$dumpall") && !tokens.is("$dumpon")
                    && !tokens.is("$end")) {
                throw unknown();
            }
        }

        private InputFault unknown() {
            String word = tokens.text();
            boolean ports = word.startsWith("p") || word.startsWith("$dumpports");
            return new InputFault(tokens.place(), ports ? "this is an extended dump of ports with strengths"
                    : "\"" + LogHeader.clip(word) + "\" is neither a time nor a value",
                    ports ? "export a plain four-state dump" : "check that the file is a VCD throughout");
        }
    }
}
