package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Locale;

/** Reads our compact recording, up to damage and after it. The form is described in captures/README.md. */
final class CompactForm implements Form {
    static final int CHANGES_TICKS = 1;
    static final int CHANGES_PICOS = 2;
    static final int BEGIN = 3;
    static final int GAP = 4;
    static final int MARK = 5;
    static final int END = 6;
    static final int UNKNOWN_LEVEL = 2;

    private final RecordingInfo info;

    private CompactForm(RecordingInfo info) {
        this.info = info;
    }

    static CompactForm open(ByteWindow in) {
        CompactBlocks blocks = new CompactBlocks(in);
        while (blocks.next()) {
            if (blocks.kind == CompactBlocks.INDEX || blocks.kind == CompactBlocks.LEVELS) continue;
            Place place = Place.bytes(in.name(), blocks.offset);
            try {
                LogHeader header = blocks.kind == CompactBlocks.HEADER ? headerBlock(in, blocks, place)
                        : withoutHeader(new CompactCursor(in.bytes, blocks.from, blocks.to));
                return new CompactForm(new RecordingInfo(in.name(), "compact recording", "",
                        LogHeader.sensible(header.tickPicos, place), header.lines, header.notes));
            } catch (CompactCursor.Contradiction e) {
                throw contradiction(place, e);
            }
        }
        throw new InputFault(Place.file(in.name()), "is a compact recording of which no block is whole",
                "take the file again from where it was made");
    }

    private static LogHeader headerBlock(ByteWindow in, CompactBlocks blocks, Place place) {
        LogHeader header = new LogHeader();
        String text = new String(in.bytes, blocks.from, blocks.to - blocks.from, StandardCharsets.UTF_8);
        text.lines().forEach(line -> header.take(line, place));
        header.complete(place);
        return header;
    }

    /** Both headers are lost: names too, but any block of changes tells the tick and the number of lines. */
    private static LogHeader withoutHeader(CompactCursor cursor) {
        LogHeader header = new LogHeader();
        int lines = cursor.below(LogHeader.MOST_LINES + 1L, "the number of lines");
        cursor.count();
        cursor.count();
        TickScale scale = new TickScale(cursor.count(), cursor.count());
        header.tickPicos = scale.sensible() ? scale.picosPerTick() : 1;
        for (int i = 1; i <= lines; i++) header.lines.add("line " + i);
        return header;
    }

    private static InputFault contradiction(Place place, CompactCursor.Contradiction e) {
        return new InputFault(place, "the block that begins here contradicts itself: " + e.getMessage(),
                "correct the program that wrote it");
    }

    @Override
    public RecordingInfo header() {
        return info;
    }

    @Override
    public boolean columns() {
        return true;
    }

    @Override
    public void read(ByteWindow in, EdgeGatherer out, NoticeLog notices) {
        new Reading(in, out, notices).all();
    }

    /** One reading of all blocks. */
    private final class Reading {
        private final ByteWindow in;
        private final EdgeGatherer out;
        private final NoticeLog notices;
        private final CompactBlocks blocks;
        private final long[] lastAt = new long[info.lines().size()];
        private long expected;
        private long known;
        /** Blocks lost since the last block of changes, and the first byte of the damage or -1. */
        private long lost;
        private long damagedAt = -1;
        private boolean ended;
        private boolean indexed;

        Reading(ByteWindow in, EdgeGatherer out, NoticeLog notices) {
            this.in = in;
            this.out = out;
            this.notices = notices;
            this.blocks = new CompactBlocks(in);
            Arrays.fill(lastAt, -1);
        }

        void all() {
            while (blocks.next()) {
                if (blocks.number < expected) {
                    say(blocks.offset, "A block stands here for the second time and was left out.");
                    continue;
                }
                lost += blocks.number - expected;
                if (damagedAt < 0) {
                    damagedAt = blocks.damagedFrom < 0 && blocks.number > expected ? blocks.offset : blocks.damagedFrom;
                }
                try {
                    block(new CompactCursor(in.bytes, blocks.from, blocks.to));
                } catch (CompactCursor.Contradiction e) {
                    throw contradiction(Place.bytes(in.name(), blocks.offset), e);
                }
                expected = blocks.number + 1;
            }
            finish();
        }

        private void block(CompactCursor cursor) {
            if (blocks.kind == CompactBlocks.CHANGES) {
                changes(cursor);
            } else if (blocks.kind == CompactBlocks.INDEX) {
                index(cursor);
            } else if (blocks.kind == CompactBlocks.LEVELS) {
                levels(cursor);
            } else if (blocks.kind != CompactBlocks.HEADER) {
                say(blocks.offset, "A block of an unknown kind was left out.");
            }
        }

        /** How high a line stood in its frames, the first instant counted from time zero, each other from the one before. */
        private void levels(CompactCursor c) {
            int line = c.below(lastAt.length, "a line");
            String unit = c.text();
            long start = c.count();
            while (c.more()) {
                start += c.count();
                if (start < 0) throw new CompactCursor.Contradiction("a time is beyond all bounds");
                out.levels(new LevelNote(line, start, unit, c.float32(), c.float32(), c.float32(), c.float32(), c.float32()));
            }
        }

        private void finish() {
            if (in.broken() != null) {
                say(in.offsetOf(in.limit), "The file " + in.broken() + "; what came before was read.");
            }
            long broken = damagedAt >= 0 ? damagedAt : blocks.damagedFrom;
            if (!ended) {
                say(broken >= 0 ? broken : in.offsetOf(in.limit), String.format(Locale.ROOT,
                        "The recording is cut short here: read up to %.6f s.", known * 1e-12));
                out.end(known);
            } else if (broken >= 0 || !indexed) {
                say(broken >= 0 ? broken : in.offsetOf(in.limit),
                        "The index behind the last change is damaged; no change is missing.");
            }
        }

        /** What lies between the last whole block and this one is not known; never bridge it. */
        private void bridge(long from, long[] levels) {
            if (damagedAt < 0) return;
            if (lost == 0 || from <= known) {
                say(damagedAt, "Damaged from this byte on, before byte " + blocks.offset + "; no change is missing.");
            } else {
                say(damagedAt, String.format(Locale.ROOT, "Damaged from this byte on, before byte %d: %d block%s lost, "
                        + "nothing is known from %.6f s to %.6f s.", blocks.offset, lost, lost == 1 ? "" : "s",
                        known * 1e-12, from * 1e-12));
                out.gap(-1, known, from, "recording damaged at byte " + damagedAt);
                for (int i = 0; i < levels.length; i++) {
                    if (levels[i] != UNKNOWN_LEVEL) out.level(i, from, (int) levels[i]);
                }
            }
            damagedAt = -1;
            lost = 0;
        }

        private void changes(CompactCursor c) {
            int lines = c.below(LogHeader.MOST_LINES + 1L, "the number of lines");
            if (lines != lastAt.length) {
                throw new CompactCursor.Contradiction("it has " + lines + " lines, the header " + lastAt.length);
            }
            long from = c.count();
            long until = from + c.count();
            TickScale scale = new TickScale(c.count(), c.count());
            if (until < from || from < known || !scale.sensible()) {
                throw new CompactCursor.Contradiction("its times or its tick are impossible");
            }
            long[] levels = new long[lines];
            for (int i = 0; i < lines; i++) levels[i] = c.u8();
            bridge(from, levels);
            while (c.more()) {
                int kind = c.u8();
                switch (kind) {
                    case CHANGES_TICKS -> run(c, scale, from, until);
                    case CHANGES_PICOS -> run(c, TickScale.PICOS, from, until);
                    case BEGIN -> {
                        int line = c.below(lastAt.length, "a line");
                        int level = c.below(2, "a level");
                        out.level(line, within(c.count(), from, until), level);
                    }
                    case GAP -> {
                        int line = c.below(lastAt.length + 1L, "a line") - 1;
                        long since = c.count();
                        long to = within(c.count(), from, until);
                        String why = c.text();
                        if (since < to) out.gap(line, since, to, why);
                    }
                    case MARK -> out.mark(c.count(), c.text());
                    case END -> {
                        out.end(within(c.count(), from, until));
                        ended = true;
                    }
                    default -> throw new CompactCursor.Contradiction("an entry is of the unknown kind " + kind);
                }
            }
            known = until;
            if (!ended) out.flush(until);
        }

        /** The changes of one line: the first counted from time zero, the others from the one before. */
        private void run(CompactCursor c, TickScale scale, long from, long until) {
            int line = c.below(lastAt.length, "a line");
            int level = c.below(2, "a level");
            long units = c.count();
            long count = c.count();
            long last = Math.max(lastAt[line], from - 1);
            for (long i = 0; i <= count; i++) {
                long at = scale.picos(units);
                if (at <= last || at > until) {
                    throw new CompactCursor.Contradiction("the time of a change is out of order or beyond its block");
                }
                out.level(line, at, level);
                last = at;
                level ^= 1;
                if (i < count) units += c.count();
                if (units < 0) throw new CompactCursor.Contradiction("a time is beyond all bounds");
            }
            lastAt[line] = last;
        }

        private static long within(long at, long from, long until) {
            if (at < from || at > until) {
                throw new CompactCursor.Contradiction("the time of an entry lies outside its block");
            }
            return at;
        }

        /** Where the last blocks are lost, the last index still tells how long the recording was. */
        private void index(CompactCursor c) {
            long end = c.count() - 1;
            if (end < 0) return;
            indexed = true;
            if (ended) return;
            long damaged = damagedAt >= 0 ? damagedAt : blocks.offset;
            say(damaged, String.format(Locale.ROOT, "Damaged from this byte on: the last blocks are lost, nothing is "
                    + "known from %.6f s to the end at %.6f s.", known * 1e-12, end * 1e-12));
            if (end > known) out.gap(-1, known, end, "recording damaged at byte " + damaged);
            out.end(Math.max(end, known));
            damagedAt = -1;
            ended = true;
        }

        private void say(long offset, String text) {
            notices.add(new Notice(new Place(in.name(), -1, -1, offset, known), text));
        }
    }
}
