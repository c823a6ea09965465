package samelight.engine.sidecar;

import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonMappingException;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;

/** Edit maps as JSON; errors name line and field. */
final class EditMapJson {
  private static final long MAX_BYTES = 4L << 20;
  private static final JsonMapper MAPPER =
      JsonMapper.builder()
          .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
          .enable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
          .enable(DeserializationFeature.FAIL_ON_NUMBERS_FOR_ENUMS)
          .disable(MapperFeature.ALLOW_COERCION_OF_SCALARS)
          .build();

  private EditMapJson() {}

  static EditMap read(Path file) {
    try {
      if (Files.size(file) > MAX_BYTES) {
        throw refused(file, "must be at most 4 MB", Files.size(file) + " bytes", null);
      }
      EditMap map = MAPPER.readValue(Files.readAllBytes(file), EditMap.class);
      if (map == null) {
        throw refused(file, "must be a JSON object", "null", null);
      }
      return map;
    } catch (JsonProcessingException e) {
      throw refused(file, "must be an edit map (version 1)", reason(e) + where(e), e);
    } catch (IOException e) {
      throw refused(file, "must be a file that can be read", String.valueOf(e.getMessage()), e);
    }
  }

  static String write(EditMap map) {
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentArraysWith(DefaultIndenter.SYSTEM_LINEFEED_INSTANCE.withLinefeed("\n"));
    printer.indentObjectsWith(DefaultIndenter.SYSTEM_LINEFEED_INSTANCE.withLinefeed("\n"));
    try {
      return MAPPER.writer(printer).writeValueAsString(map) + "\n";
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("an edit map is always writable", e);
    }
  }

  static String id(EditMap map) {
    return ContentHash.of(write(map).getBytes(StandardCharsets.UTF_8)).substring(0, 12);
  }

  private static String reason(JsonProcessingException e) {
    Throwable cause = e.getCause();
    if (cause instanceof IllegalArgumentException && cause.getMessage() != null) {
      return cause.getMessage();
    }
    String text = e.getOriginalMessage();
    if (text.startsWith("Missing required creator property")) {
      return "a field missing";
    }
    if (text.startsWith("Unrecognized field")) {
      return "an unknown field";
    }
    int java = text.indexOf("(class samelight");
    int end = text.indexOf(')', Math.max(0, java));
    if (java > 0 && end > 0) {
      text = text.substring(0, java).stripTrailing() + text.substring(end + 1);
    }
    int sub = text.indexOf("; nested exception");
    return sub > 0 ? text.substring(0, sub) : text;
  }

  private static String where(JsonProcessingException e) {
    StringBuilder where = new StringBuilder();
    JsonLocation location = e.getLocation();
    if (location != null) {
      where.append(", line ").append(location.getLineNr());
    }
    if (e instanceof JsonMappingException m && !m.getPath().isEmpty()) {
      where.append(", field ");
      boolean first = true;
      for (JsonMappingException.Reference step : m.getPath()) {
        if (step.getFieldName() == null) {
          where.append('[').append(step.getIndex()).append(']');
        } else {
          where.append(first ? "" : ".").append(step.getFieldName());
        }
        first = false;
      }
    }
    return where.toString();
  }

  private static RefusedInputException refused(
      Path file, String rule, String actual, @org.jspecify.annotations.Nullable Throwable cause) {
    return new RefusedInputException(
        file.toString(), rule, actual, "Nothing was written; correct the edit map", cause);
  }
}
