package buswitness.report.parts;

import com.fasterxml.jackson.core.JsonEncoding;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import java.io.IOException;
import java.io.OutputStream;

/** How every JSON report is written: UTF-8, indented by two, numbers without exponent, one line feed at the end. */
public final class JsonText {
    private JsonText() {}

    /** What a report writes. */
    public interface Body {
        void write(JsonGenerator json) throws IOException;
    }

    /** Does not close the stream. */
    public static void write(OutputStream out, Body body) throws IOException {
        JsonFactory factory = JsonFactory.builder().disable(StreamWriteFeature.AUTO_CLOSE_TARGET)
                .enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN).build();
        try (JsonGenerator json = factory.createGenerator(out, JsonEncoding.UTF8)) {
            DefaultIndenter indent = new DefaultIndenter("  ", "\n");
            json.setPrettyPrinter(new DefaultPrettyPrinter().withObjectIndenter(indent).withArrayIndenter(indent));
            body.write(json);
            json.writeRaw('\n');
        }
    }
}
