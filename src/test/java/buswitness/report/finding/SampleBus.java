package buswitness.report.finding;

import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Frames of the invented van, laid down by hand so that reports can be tested without any analysis: two units send
 * 0x1D0 and 0x1D8, their schedules drift, and where they meet they break each other's frames sixteen times.
 */
final class SampleBus {
    static final long ENGINE_STATE = MessageKey.can(0x1D0, false);
    static final long ENGINE_SPEED = MessageKey.can(0x1D8, false);
    static final long FUEL = MessageKey.can(0x2A0, false);
    static final long DOORS = MessageKey.can(0x3B0, false);
    static final double PERIOD_A = 0.10000419;
    static final double PERIOD_B = 0.09999668;
    private static final long FRAME_PICOS = 1_000_000_000L;

    final FrameLog log = new FrameLog();
    final List<Integer> sender = new ArrayList<>();
    final List<List<Integer>> bursts = new ArrayList<>();

    private record Planned(long atPicos, long key, int sender, byte[] data, boolean broken, int burst) {}

    /** @param meetAt seconds at which the two senders of 0x1D0 start together and break 16 frames */
    SampleBus(double seconds, boolean clash, double... meetAt) {
        List<Planned> plan = new ArrayList<>();
        train(plan, ENGINE_STATE, 0, PERIOD_A, 0.013, seconds);
        train(plan, ENGINE_SPEED, 0, PERIOD_A, 0.0151, seconds);
        train(plan, DOORS, 2, 0.5000012, 0.202, seconds);
        train(plan, FUEL, 0, PERIOD_A * 2, 0.0172, seconds);
        if (clash) {
            train(plan, ENGINE_STATE, 1, PERIOD_B, 0.0612, seconds);
            train(plan, ENGINE_SPEED, 1, PERIOD_B, 0.0634, seconds);
        }
        for (int b = 0; b < meetAt.length; b++) {
            bursts.add(new ArrayList<>());
            for (int k = 0; k < 16; k++) {
                plan.add(new Planned(Math.round((meetAt[b] + k * 450e-6) * 1e12), ENGINE_STATE, -1,
                        payload(ENGINE_STATE, 0, meetAt[b]), true, b));
            }
        }
        plan.sort(Comparator.comparingLong(Planned::atPicos).thenComparingLong(Planned::key));
        plan.forEach(this::lay);
    }

    private static void train(List<Planned> plan, long key, int sender, double period, double phase, double seconds) {
        for (int n = 0; phase + n * period < seconds; n++) {
            double at = phase + n * period;
            // Software delay of up to 80 us, spread by the golden ratio so that no random source is needed.
            double delay = 80e-6 * (n * 0.6180339887 % 1);
            plan.add(new Planned(Math.round((at + delay) * 1e6) * 1_000_000L, key, sender, payload(key, sender, at),
                    false, -1));
        }
    }

    /** Coolant 90 degrees by A and 62 by B; oil pressure low by B; speed 820 and 1400; fuel slowly falling. */
    static byte[] payload(long key, int sender, double at) {
        byte[] data = new byte[8];
        if (key == ENGINE_STATE) {
            data[0] = (byte) (sender == 0 ? 130 + (int) (at / 9) % 4 : 102);
            data[1] = (byte) (sender == 0 ? 0x00 : 0x08);
            data[2] = (byte) (at * 10);
        } else if (key == ENGINE_SPEED) {
            int speed = sender == 0 ? 820 + (int) (40 * Math.sin(at)) : 1400;
            data[0] = (byte) (speed >> 8);
            data[1] = (byte) speed;
        } else if (key == FUEL) {
            data[0] = (byte) (180 - at / 60);
        } else {
            data[0] = (byte) ((int) (at / 7) % 2);
        }
        return data;
    }

    private void lay(Planned p) {
        LogRow row = new LogRow();
        row.clear();
        row.startPicos = Math.max(p.atPicos, log.size() == 0 ? 0 : log.startPicos(log.size() - 1));
        row.endPicos = row.startPicos + FRAME_PICOS;
        row.key = p.key;
        row.freeStart = !p.broken;
        row.acknowledged = !p.broken;
        row.lengthCode = 8;
        row.dataLength = p.broken ? 0 : 8;
        System.arraycopy(p.data, 0, row.data, 0, 8);
        if (p.broken) {
            row.fault = FrameFault.ERROR_FLAG;
            row.faultBit = 22;
            row.endPicos = row.startPicos + FRAME_PICOS / 3;
            row.wireBits = wire();
            bursts.get(p.burst).add(log.size());
        }
        log.add(row);
        sender.add(p.sender);
    }

    static BitString meant(int sender, double at) {
        return CanFrameBits.unstuffed(0x1D0, false, false, 8, payload(ENGINE_STATE, sender, at));
    }

    /** The dominant of both up to the first difference, then six dominant bits of the error flag. */
    static BitString wire() {
        BitString a = meant(0, 12.31);
        BitString b = meant(1, 12.31);
        BitString wire = new BitString();
        int k = 0;
        while (a.get(k) == b.get(k)) wire.add(a.get(k++));
        for (int i = 0; i < 7; i++) wire.add(0);
        return wire;
    }

    static int breakBit() {
        BitString a = meant(0, 12.31);
        BitString b = meant(1, 12.31);
        int k = 0;
        while (a.get(k) == b.get(k)) k++;
        return k;
    }

    int[] senders() {
        return sender.stream().mapToInt(Integer::intValue).toArray();
    }
}
