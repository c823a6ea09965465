package samelight.samples;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** The truth about a shoot, read back. Keys that are not needed here are ignored. */
final class TruthFile {

  /**
   * What is true about one frame.
   *
   * @param file path relative to the shoot, with forward slashes
   * @param body which body
   * @param seconds true time
   * @param view which light
   * @param gain stops by which it comes out brighter than meant
   * @param kelvin colour temperature that makes its light neutral
   * @param asShotKelvin what the camera took for it
   * @param bracket whether it is part of an exposure bracket
   * @param troubles words for what makes it hard
   */
  record Frame(
      String file,
      String body,
      double seconds,
      String view,
      double gain,
      double kelvin,
      double asShotKelvin,
      boolean bracket,
      List<String> troubles) {

    /** Whether white balance can be set after the fact. */
    boolean raw() {
      String name = file.toLowerCase(java.util.Locale.ROOT);
      return !name.endsWith(".jpg") && !name.endsWith(".jpeg");
    }
  }

  private final Map<String, Frame> frames = new LinkedHashMap<>();

  private TruthFile() {}

  /**
   * Reads a truth file.
   *
   * @throws IOException if it cannot be read, is not JSON, or lacks a key; names the key
   */
  static TruthFile read(Path file) throws IOException {
    JsonNode root = new ObjectMapper().readTree(file.toFile());
    TruthFile truth = new TruthFile();
    for (JsonNode f : need(root, "frames", file)) {
      truth.add(f, false, file);
    }
    for (JsonNode f : root.path("brackets")) {
      truth.add(f, true, file);
    }
    return truth;
  }

  private void add(JsonNode f, boolean bracket, Path file) throws IOException {
    List<String> troubles = new ArrayList<>();
    f.path("trouble").forEach(t -> troubles.add(t.asText()));
    String name = need(f, "file", file).asText();
    frames.put(
        name,
        new Frame(
            name,
            need(f, "body", file).asText(),
            need(f, "real", file).asDouble(),
            need(f, "view", file).asText(),
            need(f, "gain", file).asDouble(),
            need(f, "cct", file).asDouble(),
            need(f, "asshot", file).asDouble(),
            bracket,
            List.copyOf(troubles)));
  }

  private static JsonNode need(JsonNode node, String key, Path file) throws IOException {
    JsonNode value = node.get(key);
    if (value == null) {
      throw new IOException("truth file " + file + " lacks \"" + key + "\" in " + brief(node));
    }
    return value;
  }

  private static String brief(JsonNode node) {
    String s = node.toString();
    return s.length() < 80 ? s : s.substring(0, 80) + "...";
  }

  /** All frames to be matched, without brackets. */
  List<Frame> matched() {
    return frames.values().stream().filter(f -> !f.bracket).toList();
  }

  /** A frame by its path, brackets included, or null. */
  @Nullable Frame find(String file) {
    return frames.get(file);
  }
}
