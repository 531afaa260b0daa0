package buswitness.plan;

import java.util.Arrays;
import java.util.List;

/** Where in a start-up a step belongs; the words are those of the plan file. */
public enum Stage {
    BATTERY("battery reconnected"), WAKE_UP("wake-up"), IGNITION_ON("ignition on"), CRANKING("cranking"),
    RUNNING("running"), ROAD_SPEED("road speed"), IGNITION_OFF("ignition off");

    private final String text;

    Stage(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }

    static List<String> words() {
        return Arrays.stream(values()).map(Stage::text).toList();
    }

    static Stage of(String text) {
        for (Stage s : values()) if (s.text.equals(text)) return s;
        throw new IllegalArgumentException(text);
    }
}
