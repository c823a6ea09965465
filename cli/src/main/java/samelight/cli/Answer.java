package samelight.cli;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * What a command has to say.
 *
 * @param status how it ended
 * @param lines for a person; text from files is made harmless when printed
 * @param fields for a program
 */
record Answer(
    ExitStatus status, List<String> lines, Map<String, ? extends @Nullable Object> fields) {
  /** As JSON: the status and its meaning first. */
  Map<String, @Nullable Object> json(String command) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("command", command);
    json.put("status", status.code());
    json.put("meaning", status.meaning());
    json.putAll(fields);
    return json;
  }
}
