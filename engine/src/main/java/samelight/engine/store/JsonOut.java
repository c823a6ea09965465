package samelight.engine.store;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.core.util.Separators;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Writes one JSON document: a line for each element of the outer arrays, so that lines are short.
 */
public final class JsonOut {
  private static final JsonFactory FACTORY = new JsonFactory();
  private static final int INDENTED_LEVELS = 2;

  private final JsonGenerator out;

  /** Writes something. */
  public interface Body {
    void write() throws IOException;
  }

  /** Writes a document. */
  public interface Document {
    void write(JsonOut out) throws IOException;
  }

  private JsonOut(OutputStream stream) throws IOException {
    out = FACTORY.createGenerator(stream);
    out.setPrettyPrinter(printer());
  }

  /** The bytes of a document. */
  public static byte[] bytes(Document document) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(1 << 16);
    try {
      write(bytes, document);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return bytes.toByteArray();
  }

  /** Writes a document, piece by piece. */
  public static void write(OutputStream stream, Document document) throws IOException {
    JsonOut json = new JsonOut(stream);
    json.out.writeStartObject();
    document.write(json);
    json.out.writeEndObject();
    json.out.writeRaw('\n');
    json.out.flush();
  }

  /** The word for a constant: {@code SHOOT_TIME} is {@code shootTime}. */
  public static String word(Enum<?> constant) {
    StringBuilder word = new StringBuilder();
    for (String part : constant.name().toLowerCase(Locale.ROOT).split("_", -1)) {
      word.append(
          word.length() == 0
              ? part
              : part.substring(0, 1).toUpperCase(Locale.ROOT) + part.substring(1));
    }
    return word.toString();
  }

  static @Nullable String time(@Nullable LocalDateTime time) {
    return time == null ? null : DateTimeFormatter.ISO_LOCAL_DATE_TIME.format(time);
  }

  /** Writes a field. */
  public void field(String name, @Nullable String value) throws IOException {
    out.writeStringField(name, value);
  }

  /** Writes a field. */
  public void field(String name, double value) throws IOException {
    out.writeFieldName(name);
    number(value);
  }

  /** Writes a field. */
  public void field(String name, @Nullable Double value) throws IOException {
    if (value == null) {
      out.writeNullField(name);
    } else {
      field(name, value.doubleValue());
    }
  }

  /** Writes a field. */
  public void field(String name, long value) throws IOException {
    out.writeNumberField(name, value);
  }

  /** Writes a field. */
  public void field(String name, boolean value) throws IOException {
    out.writeBooleanField(name, value);
  }

  /** Writes the field only where it has a value. */
  public void optional(String name, @Nullable String value) throws IOException {
    if (value != null) {
      field(name, value);
    }
  }

  /** Writes the field only where it has a value. */
  public void optional(String name, @Nullable Double value) throws IOException {
    if (value != null) {
      field(name, value.doubleValue());
    }
  }

  /** Writes a field that is an object. */
  public void object(String name, Body body) throws IOException {
    out.writeFieldName(name);
    object(body);
  }

  /** Writes an element that is an object. */
  public void object(Body body) throws IOException {
    out.writeStartObject();
    body.write();
    out.writeEndObject();
  }

  /** Writes a field that is an array. */
  public void array(String name, Body body) throws IOException {
    out.writeFieldName(name);
    out.writeStartArray();
    body.write();
    out.writeEndArray();
  }

  /** Writes a field that is an array of strings. */
  public void strings(String name, Iterable<String> values) throws IOException {
    out.writeFieldName(name);
    out.writeStartArray();
    for (String value : values) {
      out.writeString(value);
    }
    out.writeEndArray();
  }

  private void number(double value) throws IOException {
    if (value == Math.rint(value) && Math.abs(value) < 1e15) {
      out.writeNumber((long) value);
    } else {
      out.writeNumber(value);
    }
  }

  private static DefaultPrettyPrinter printer() {
    DefaultPrettyPrinter printer = new OuterLines();
    DefaultPrettyPrinter.Indenter lines = new OuterLevels();
    printer.indentObjectsWith(lines);
    printer.indentArraysWith(lines);
    return printer;
  }

  /** Ends inner objects and arrays on the line on which they began. */
  private static final class OuterLines extends DefaultPrettyPrinter {
    OuterLines() {
      super(
          Separators.createDefaultInstance().withObjectFieldValueSpacing(Separators.Spacing.AFTER));
    }

    private OuterLines(OuterLines base) {
      super(base);
    }

    @Override
    public DefaultPrettyPrinter createInstance() {
      return new OuterLines(this);
    }

    @Override
    public void writeEndObject(JsonGenerator g, int entries) throws IOException {
      if (_nesting > INDENTED_LEVELS) {
        _nesting--;
        g.writeRaw(" }");
      } else {
        super.writeEndObject(g, entries);
      }
    }

    @Override
    public void writeEndArray(JsonGenerator g, int elements) throws IOException {
      if (_nesting > INDENTED_LEVELS) {
        _nesting--;
        g.writeRaw(" ]");
      } else {
        super.writeEndArray(g, elements);
      }
    }
  }

  /** A new line for the outer levels, a space for those inside. */
  private static final class OuterLevels implements DefaultPrettyPrinter.Indenter {
    private final DefaultIndenter indenter = new DefaultIndenter("  ", "\n");

    @Override
    public void writeIndentation(JsonGenerator g, int level) throws IOException {
      if (level <= INDENTED_LEVELS) {
        indenter.writeIndentation(g, level);
      } else {
        g.writeRaw(' ');
      }
    }

    @Override
    public boolean isInline() {
      return false;
    }
  }
}
