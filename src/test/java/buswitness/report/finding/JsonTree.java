package buswitness.report.finding;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadFeature;
import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** JSON to maps, lists, strings, BigDecimals, Booleans and nulls; refuses duplicate names (RFC 8259 clause 4). */
final class JsonTree {
    private JsonTree() {}

    static Object parse(byte[] text) throws IOException {
        JsonFactory factory = JsonFactory.builder().enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION).build();
        try (JsonParser parser = factory.createParser(text)) {
            parser.nextToken();
            Object value = value(parser);
            if (parser.nextToken() != null) throw new IOException("more than one value");
            return value;
        }
    }

    @SuppressWarnings("unchecked")
    static Map<String, Object> object(Object value) {
        return (Map<String, Object>) value;
    }

    @SuppressWarnings("unchecked")
    static List<Object> list(Object value) {
        return (List<Object>) value;
    }

    private static Object value(JsonParser parser) throws IOException {
        switch (parser.currentToken()) {
            case START_OBJECT:
                Map<String, Object> object = new LinkedHashMap<>();
                while (parser.nextToken() != JsonToken.END_OBJECT) {
                    String name = parser.currentName();
                    parser.nextToken();
                    object.put(name, value(parser));
                }
                return object;
            case START_ARRAY:
                List<Object> list = new ArrayList<>();
                while (parser.nextToken() != JsonToken.END_ARRAY) list.add(value(parser));
                return list;
            case VALUE_NULL:
                return null;
            case VALUE_TRUE:
                return true;
            case VALUE_FALSE:
                return false;
            case VALUE_STRING:
                return parser.getText();
            default:
                return parser.getDecimalValue();
        }
    }
}
