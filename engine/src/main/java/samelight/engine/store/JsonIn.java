package samelight.engine.store;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonParseException;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.exc.StreamConstraintsException;
import java.io.Closeable;
import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.RefusedInputException;

/**
 * Reads one JSON document strictly and in one pass. Every complaint names the file, the line, the
 * field, the rule and the actual value.
 */
public final class JsonIn implements Closeable {
  private static final int LONGEST_SHOWN = 80;

  private static final JsonFactory FACTORY =
      JsonFactory.builder()
          .disable(JsonFactory.Feature.INTERN_FIELD_NAMES)
          .streamReadConstraints(
              StreamReadConstraints.builder()
                  .maxNestingDepth(16)
                  .maxStringLength(100_000)
                  .maxNameLength(10_000)
                  .maxNumberLength(50)
                  .build())
          .build();

  private final JsonParser parser;
  private final String file;
  private final String next;

  /** Names of fields, and the indices of elements. */
  private final Deque<Object> path = new ArrayDeque<>();

  /** Names seen in the object of each depth; a set a depth serves all its objects. */
  private final List<Set<String>> seen = new ArrayList<>();

  private int depth;
  private final Map<String, String> shared = new HashMap<>();

  /** Reads one field of an object whose value is the parser's current token. */
  public interface Field {
    /**
     * Takes the value of the named field.
     *
     * @return false if there is no such field
     */
    boolean take(String name) throws IOException;
  }

  /** Reads one element, the parser's current token. */
  public interface Element {
    void take() throws IOException;
  }

  /**
   * Opens a document.
   *
   * @param file its name in complaints
   * @param next what to do about a complaint
   */
  public JsonIn(InputStream in, String file, String next) throws IOException {
    this.parser = FACTORY.createParser(in);
    this.file = file;
    this.next = next;
  }

  /** Reads the whole document, which must be one object. */
  public void document(Field fields, String... required) throws IOException {
    try {
      advance();
      object(fields, required);
      if (parser.nextToken() != null) {
        throw bad("nothing may follow the document", shown());
      }
    } catch (StreamConstraintsException e) {
      throw complaint(e.getLocation(), "must be plain JSON of ordinary size", firstLine(e), e);
    } catch (JsonParseException e) {
      String name = parser.currentName();
      if (name != null && !name.equals(path.peekLast())) {
        path.addLast(name);
      }
      throw complaint(e.getLocation(), "must be JSON (RFC 8259)", firstLine(e), e);
    }
  }

  /** Reads the current token as an object. */
  public void object(Field fields, String... required) throws IOException {
    expect(JsonToken.START_OBJECT, "an object");
    JsonLocation start = parser.currentTokenLocation();
    if (depth == seen.size()) {
      seen.add(new HashSet<>());
    }
    Set<String> names = seen.get(depth++);
    names.clear();
    while (parser.nextToken() != JsonToken.END_OBJECT) {
      String name = parser.currentName();
      path.addLast(name);
      if (!names.add(name)) {
        throw bad("a field must stand once in its object", "\"" + clip(name) + "\" twice");
      }
      parser.nextToken();
      if (!fields.take(name)) {
        throw bad("there is no field of this name", "\"" + clip(name) + "\"");
      }
      path.removeLast();
    }
    depth--;
    for (String name : required) {
      if (!names.contains(name)) {
        path.addLast(name);
        throw complaint(start, "this field must be there", "nothing", null);
      }
    }
  }

  /** Reads the current token as an array. */
  public void array(Element element) throws IOException {
    expect(JsonToken.START_ARRAY, "an array");
    int i = 0;
    while (parser.nextToken() != JsonToken.END_ARRAY) {
      path.addLast(i++);
      element.take();
      path.removeLast();
    }
  }

  /** Whether the current token is null. */
  public boolean isNull() {
    return parser.currentToken() == JsonToken.VALUE_NULL;
  }

  /** The current token as a string. */
  public String string() throws IOException {
    expect(JsonToken.VALUE_STRING, "a string");
    return parser.getText();
  }

  /** A string of which there are few different ones: equal ones become one object. */
  public String sharedString() throws IOException {
    return shared.computeIfAbsent(string(), s -> s);
  }

  /** The current token as a string, or null. */
  public @Nullable String stringOrNull() throws IOException {
    return isNull() ? null : string();
  }

  /** A path inside a shoot, by its spelling. */
  public String path() throws IOException {
    String value = string();
    String wrong = RelativePath.wrong(value);
    if (wrong != null) {
      throw bad(RelativePath.RULE, wrong);
    }
    return shared.computeIfAbsent(value, s -> s);
  }

  /** The current token as a finite number. */
  public double number() throws IOException {
    JsonToken token = parser.currentToken();
    if (token != JsonToken.VALUE_NUMBER_FLOAT && token != JsonToken.VALUE_NUMBER_INT) {
      throw bad("must be a number", shown());
    }
    double value = parser.getDoubleValue();
    if (!Double.isFinite(value)) {
      throw bad("must be a finite number", shown());
    }
    return value;
  }

  /** The current token as a finite number, or null. */
  public @Nullable Double numberOrNull() throws IOException {
    return isNull() ? null : Double.valueOf(number());
  }

  /** The current token as a whole number within these limits. */
  public long whole(long low, long high) throws IOException {
    boolean fits =
        parser.currentToken() == JsonToken.VALUE_NUMBER_INT
            && (parser.getNumberType() != JsonParser.NumberType.BIG_INTEGER)
            && parser.getLongValue() >= low
            && parser.getLongValue() <= high;
    if (!fits) {
      throw bad("must be a whole number from " + low + " to " + high, shown());
    }
    return parser.getLongValue();
  }

  /** The current token as a whole number within these limits. */
  public int integer(int low, int high) throws IOException {
    return (int) whole(low, high);
  }

  /** The current token as true or false. */
  public boolean bool() throws IOException {
    JsonToken token = parser.currentToken();
    if (token != JsonToken.VALUE_TRUE && token != JsonToken.VALUE_FALSE) {
      throw bad("must be true or false", shown());
    }
    return token == JsonToken.VALUE_TRUE;
  }

  /** The current token as the word of a constant. */
  public <E extends Enum<E>> E oneOf(Class<E> type) throws IOException {
    String value = string();
    for (E constant : type.getEnumConstants()) {
      if (JsonOut.word(constant).equals(value)) {
        return constant;
      }
    }
    StringBuilder words = new StringBuilder();
    for (E constant : type.getEnumConstants()) {
      words.append(words.length() == 0 ? "" : ", ").append(JsonOut.word(constant));
    }
    throw bad("must be one of " + words, shown());
  }

  /** Makes a value whose constructor checks its range; its complaint becomes one about the file. */
  public <T> T checked(Maker<T> maker) throws IOException {
    try {
      return maker.make();
    } catch (IllegalArgumentException | java.time.DateTimeException e) {
      String message = String.valueOf(e.getMessage());
      int was = message.lastIndexOf(", was ");
      throw was < 0
          ? bad(message, "a value against that rule")
          : bad(message.substring(0, was), clip(message.substring(was + 6)));
    }
  }

  /** Makes a value. */
  public interface Maker<T> {
    T make() throws IOException;
  }

  /** The line at which reading is, from 1. */
  public int line() {
    return parser.currentTokenLocation().getLineNr();
  }

  /** The field at which reading is. */
  public String where() {
    StringBuilder where = new StringBuilder();
    for (Object part : path) {
      if (part instanceof Integer index) {
        where.append('[').append(index).append(']');
      } else {
        where.append(where.length() == 0 ? "" : ".").append(part);
      }
    }
    return where.toString();
  }

  /** A complaint about the current token. */
  public RefusedInputException bad(String rule, String actual) {
    return complaint(parser.currentTokenLocation(), rule, actual, null);
  }

  /** A complaint about a place that was read before. */
  public RefusedInputException bad(int line, String field, String rule, String actual) {
    return new RefusedInputException(
        file, "line " + line + ", field " + field + ": " + rule, actual, next);
  }

  private RefusedInputException complaint(
      @Nullable JsonLocation at, String rule, String actual, @Nullable Exception cause) {
    String place =
        (at == null ? "" : "line " + at.getLineNr() + ", column " + at.getColumnNr() + ", ")
            + (path.isEmpty() ? "the document" : "field " + clip(where()));
    return new RefusedInputException(file, place + ": " + rule, actual, next, cause);
  }

  private void expect(JsonToken token, String what) throws IOException {
    if (parser.currentToken() != token) {
      throw bad("must be " + what, shown());
    }
  }

  private void advance() throws IOException {
    if (parser.nextToken() == null) {
      throw complaint(parser.currentLocation(), "must be a JSON object", "an empty file", null);
    }
  }

  private String shown() throws IOException {
    JsonToken token = parser.currentToken();
    if (token == null) {
      return "the end of the file";
    }
    return switch (token) {
      case START_OBJECT -> "an object";
      case START_ARRAY -> "an array";
      case VALUE_STRING -> "\"" + clip(parser.getText()) + "\"";
      default -> clip(parser.getText());
    };
  }

  private static String firstLine(Exception e) {
    String message = String.valueOf(e.getMessage());
    return clip(message.lines().findFirst().orElse("").replaceAll(": (enable|add) .*", ""));
  }

  private static String clip(String s) {
    return s.length() <= LONGEST_SHOWN ? s : s.substring(0, LONGEST_SHOWN) + "...";
  }

  @Override
  public void close() throws IOException {
    parser.close();
  }
}
