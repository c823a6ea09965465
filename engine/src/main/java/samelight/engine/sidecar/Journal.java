package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;

/**
 * One journal file: what one carry, or one revert, replaced. Lines of JSON, only ever appended to:
 *
 * <pre>
 * {"journal":1,"id":"0007","kind":"carry","at":"..."}
 * {"sidecar":"a/b.xmp","before":{...},"after":"sha256"}     once for each sidecar of a batch
 * {"ready":2000,"sha256":"..."}                             forced to disk; then the batch is written
 * {"skipped":[...],"done":true}                             forced to disk after the last batch
 * </pre>
 *
 * The hash in {@code ready} is that of all bytes since the line before the batch. A batch without a
 * {@code ready} line that fits it has touched nothing: the power failed while it was written. A
 * file without its {@code done} line is unfinished and is rolled back by the next command.
 */
final class Journal {
  static final JsonMapper MAPPER =
      JsonMapper.builder(
              com.fasterxml.jackson.core.JsonFactory.builder()
                  .streamReadConstraints(
                      StreamReadConstraints.builder().maxStringLength(64 << 20).build())
                  .build())
          .disable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
          .build();

  /** What a journal is of. */
  enum Kind {
    CARRY,
    REVERT
  }

  /**
   * Content before.
   *
   * @param sha256 its hash
   * @param deflated its bytes, deflated and in base 64
   */
  record Before(String sha256, String deflated) {
    static Before of(byte[] bytes) {
      return new Before(
          ContentHash.of(bytes), Base64.getEncoder().encodeToString(Deflated.deflate(bytes)));
    }

    /**
     * The bytes.
     *
     * @throws IOException if they aren't those of the hash
     */
    byte[] bytes() throws IOException {
      byte[] bytes = Deflated.inflate(Base64.getDecoder().decode(deflated));
      if (!ContentHash.of(bytes).equals(sha256)) {
        throw new IOException("old content does not have its hash");
      }
      return bytes;
    }
  }

  /**
   * One sidecar.
   *
   * @param sidecar path relative to the shoot
   * @param before content before, or null where there was none
   * @param after hash of the content after, or null where it was removed
   * @param carried what was carried, for the next carry
   * @param undoes ids of the carries that this entry of a revert undoes
   * @param saved when the content before was saved (ISO 8601 instant), where the system told; it
   *     says how long somebody worked in the raw editor, which no journal sees
   */
  @JsonInclude(JsonInclude.Include.NON_NULL)
  record Entry(
      String sidecar,
      @Nullable Before before,
      @Nullable String after,
      @Nullable LastCarried carried,
      @Nullable List<String> undoes,
      @Nullable String saved) {}

  @JsonInclude(JsonInclude.Include.NON_NULL)
  private record Header(
      int journal,
      String id,
      String kind,
      String at,
      @Nullable List<String> maps,
      @Nullable List<String> inside) {}

  /** How the last line of a finished journal ends. */
  static final String DONE_ENDING = "\"done\":true}\n";

  final Path file;
  final String id;
  final Kind kind;
  final Instant at;
  final List<String> maps;

  /** Ids of those edit maps whose editor keeps its edits inside the frames' own files. */
  final List<String> inside;

  /** Entries of batches that are ready, without those that were skipped. */
  final List<Entry> entries;

  final boolean done;
  final boolean rolledBack;

  Journal(
      Path file,
      String id,
      Kind kind,
      Instant at,
      List<String> maps,
      List<String> inside,
      List<Entry> entries,
      boolean done,
      boolean rolledBack) {
    this.file = file;
    this.id = id;
    this.kind = kind;
    this.at = at;
    this.maps = maps;
    this.inside = inside;
    this.entries = entries;
    this.done = done;
    this.rolledBack = rolledBack;
  }

  static byte[] header(String id, Kind kind, Instant at, List<EditMap> used) {
    List<String> maps = used.stream().map(EditMap::id).toList();
    List<String> inside = used.stream().filter(EditMap::inFrame).map(EditMap::id).toList();
    return line(
        new Header(
            1,
            id,
            kind.name().toLowerCase(java.util.Locale.ROOT),
            at.toString(),
            maps.isEmpty() ? null : maps,
            inside.isEmpty() ? null : inside));
  }

  /**
   * The lines of a batch.
   *
   * @param before what is appended just before, the header of the file or nothing
   */
  static byte[] batch(byte[] before, List<Entry> entries) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(before);
    for (Entry e : entries) {
      out.writeBytes(line(e));
    }
    Map<String, Object> ready = new LinkedHashMap<>();
    ready.put("ready", entries.size());
    ready.put("sha256", ContentHash.of(out.toByteArray()));
    out.writeBytes(line(ready));
    return out.toByteArray();
  }

  static byte[] done(List<String> skipped, boolean rolledBack) {
    Map<String, Object> end = new LinkedHashMap<>();
    if (!skipped.isEmpty()) {
      end.put("skipped", skipped);
    }
    if (rolledBack) {
      end.put("rolledBack", true);
    }
    end.put("done", true); // last, so that the end of the file tells
    return line(end);
  }

  private static byte[] line(Object value) {
    try {
      return (MAPPER.writeValueAsString(value) + "\n").getBytes(StandardCharsets.UTF_8);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a journal line is always writable", e);
    }
  }

  /**
   * Reads a journal.
   *
   * @return null where not even its first line is whole, so that it has touched nothing
   * @throws RefusedInputException if it can't be read or is damaged other than at its end
   */
  static @Nullable Journal read(Path file) {
    return new JournalReader(file, true).read();
  }

  /** As {@link #read}, without the old content itself: only its hashes. */
  static @Nullable Journal outline(Path file) {
    return new JournalReader(file, false).read();
  }

  /** Ids of the edit maps that a journal names in its first line. */
  static List<String> maps(Path file) {
    List<String> maps = new ArrayList<>();
    try (JournalReader.Lines in = new JournalReader.Lines(file)) {
      byte[] line = in.next();
      if (line != null) {
        MAPPER.readTree(line).path("maps").forEach(m -> maps.add(m.asText()));
      }
    } catch (IOException e) {
      return maps; // whoever needs the rest of it will be told
    }
    return maps;
  }
}
