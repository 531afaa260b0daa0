package buswitness.testing;

/** Payload models for {@link FrameLogs}. */
public final class Payloads {
    private Payloads() {}

    public static FrameLogs.Payload constant(int... bytes) {
        byte[] data = new byte[bytes.length];
        for (int i = 0; i < bytes.length; i++) data[i] = (byte) bytes[i];
        return (count, seconds, random) -> data;
    }

    /** A slow quantity in the first byte that moves by one step now and then, a counter nibble last if asked for. */
    public static FrameLogs.Payload slow(int length, int from, double stepsPerSecond, boolean counter) {
        double[] last = {0, from};
        return (count, seconds, random) -> {
            byte[] data = new byte[length];
            double steps = (seconds - last[0]) * stepsPerSecond;
            last[0] = seconds;
            if (random.nextDouble() < steps) last[1] += random.nextBoolean() ? 1 : -1;
            data[0] = (byte) (int) last[1];
            if (counter) data[length - 1] = (byte) (count & 15);
            return data;
        };
    }

    /** Every byte new at each frame. */
    public static FrameLogs.Payload random(int length) {
        return (count, seconds, random) -> {
            byte[] data = new byte[length];
            for (int i = 0; i < length; i++) data[i] = (byte) random.nextInt(256);
            return data;
        };
    }

    /** Values of a shared quantity: what an honest sender says at {@code seconds}, whichever frame carries it. */
    public static FrameLogs.Payload square(int length, int low, int high, double periodSeconds) {
        return (count, seconds, random) -> {
            byte[] data = new byte[length];
            data[0] = (byte) ((seconds / periodSeconds) % 1 < 0.5 ? low : high);
            return data;
        };
    }
}
