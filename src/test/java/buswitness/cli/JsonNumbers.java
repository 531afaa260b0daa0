package buswitness.cli;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Every number that a field of this name has anywhere in a JSON file, in order. */
final class JsonNumbers {
    private JsonNumbers() {}

    static List<Double> of(Path json, String field) throws IOException {
        List<Double> found = new ArrayList<>();
        try (JsonParser parser = new JsonFactory().createParser(json.toFile())) {
            while (parser.nextToken() != null) {
                if (parser.currentToken() == JsonToken.FIELD_NAME && field.equals(parser.currentName())
                        && parser.nextToken().isNumeric()) found.add(parser.getDoubleValue());
            }
        }
        return found;
    }
}
