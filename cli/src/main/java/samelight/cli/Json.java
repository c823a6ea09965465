package samelight.cli;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Writes answers of commands as JSON: maps, lists, strings, numbers, booleans and nulls. */
final class Json {
  private Json() {}

  static void write(Writer to, Map<String, ? extends @Nullable Object> object) {
    try {
      JsonGenerator out = new JsonFactory().createGenerator(to);
      out.disable(JsonGenerator.Feature.AUTO_CLOSE_TARGET);
      out.setPrettyPrinter(new DefaultPrettyPrinter());
      value(out, object);
      out.writeRaw('\n');
      out.flush();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static void value(JsonGenerator out, @Nullable Object value) throws IOException {
    if (value == null) {
      out.writeNull();
    } else if (value instanceof Map<?, ?> map) {
      out.writeStartObject();
      for (Map.Entry<?, ?> entry : map.entrySet()) {
        out.writeFieldName(String.valueOf(entry.getKey()));
        value(out, entry.getValue());
      }
      out.writeEndObject();
    } else if (value instanceof Iterable<?> list) {
      out.writeStartArray();
      for (Object element : list) {
        value(out, element);
      }
      out.writeEndArray();
    } else if (value instanceof Boolean b) {
      out.writeBoolean(b);
    } else if (value instanceof Integer || value instanceof Long) {
      out.writeNumber(((Number) value).longValue());
    } else if (value instanceof Number n) {
      out.writeNumber(n.doubleValue());
    } else {
      out.writeString(value.toString());
    }
  }
}
