package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.zip.DataFormatException;
import java.util.zip.Deflater;
import java.util.zip.Inflater;
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
  private static final JsonMapper MAPPER =
      JsonMapper.builder(
              com.fasterxml.jackson.core.JsonFactory.builder()
                  .streamReadConstraints(
                      StreamReadConstraints.builder().maxStringLength(64 << 20).build())
                  .build())
          .disable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
          .build();
  private static final int MAX_LINE = 48 << 20;

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
      return new Before(ContentHash.of(bytes), Base64.getEncoder().encodeToString(deflate(bytes)));
    }

    /**
     * The bytes.
     *
     * @throws IOException if they aren't those of the hash
     */
    byte[] bytes() throws IOException {
      byte[] bytes = inflate(Base64.getDecoder().decode(deflated));
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
   */
  @JsonInclude(JsonInclude.Include.NON_NULL)
  record Entry(
      String sidecar,
      @Nullable Before before,
      @Nullable String after,
      @Nullable LastCarried carried,
      @Nullable List<String> undoes) {}

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

  private Journal(
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
    return new Reader(file, true).read();
  }

  /** As {@link #read}, without the old content itself: only its hashes. */
  static @Nullable Journal outline(Path file) {
    return new Reader(file, false).read();
  }

  /** Ids of the edit maps that a journal names in its first line. */
  static List<String> maps(Path file) {
    List<String> maps = new ArrayList<>();
    try (Lines in = new Lines(file)) {
      byte[] line = in.next();
      if (line != null) {
        MAPPER.readTree(line).path("maps").forEach(m -> maps.add(m.asText()));
      }
    } catch (IOException e) {
      return maps; // whoever needs the rest of it will be told
    }
    return maps;
  }

  /** Reads one file. */
  private static final class Reader {
    private final Path file;
    private final boolean whole;

    /** Frames of one group are carried the same properties: one map in memory for all of them. */
    private final Map<Map<String, String>, Map<String, String>> shared = new HashMap<>();

    private final List<Entry> ready = new ArrayList<>();
    private final List<Entry> open = new ArrayList<>();
    private final Set<String> skipped = new HashSet<>();
    private MessageDigest digest = ContentHash.digest();
    private @Nullable JsonNode header;
    private boolean done;
    private boolean rolledBack;

    /** First line that was torn while it was written, or 0. */
    private int torn;

    Reader(Path file, boolean whole) {
      this.file = file;
      this.whole = whole;
    }

    private Entry slim(Entry e) {
      LastCarried c = e.carried();
      if (c != null) {
        Map<String, String> first = shared.putIfAbsent(c.properties(), c.properties());
        c = first == null ? c : new LastCarried(c.map(), c.numbers(), first);
      }
      Before b = e.before();
      if (b != null && !whole) {
        b = new Before(b.sha256(), "");
      }
      return new Entry(e.sidecar(), b, e.after(), c, e.undoes());
    }

    @Nullable Journal read() {
      int number = 0;
      try (Lines in = new Lines(file)) {
        for (byte[] line = in.next(); line != null; line = in.next()) {
          number++;
          line(number, line);
        }
      } catch (IOException e) {
        throw damaged(file, number, String.valueOf(e.getMessage()), e);
      }
      if (header == null) {
        return null;
      }
      ready.removeIf(e -> skipped.contains(e.sidecar()));
      List<String> maps = new ArrayList<>();
      header.path("maps").forEach(m -> maps.add(m.asText()));
      List<String> inside = new ArrayList<>();
      header.path("inside").forEach(m -> inside.add(m.asText()));
      return new Journal(
          file,
          header.path("id").asText(),
          header.path("kind").asText().equals("revert") ? Kind.REVERT : Kind.CARRY,
          instant(file, header.path("at").asText()),
          maps,
          inside,
          ready,
          done,
          rolledBack);
    }

    private void line(int number, byte[] line) {
      JsonNode node;
      Entry entry = null;
      try {
        node = MAPPER.readTree(line);
        if (node.has("sidecar")) {
          entry = slim(MAPPER.treeToValue(node, Entry.class));
        }
      } catch (IOException | IllegalArgumentException e) {
        torn = torn == 0 ? number : torn;
        digest.update(line);
        return;
      }
      if (node.has("ready")) {
        String hash = HexFormat.of().formatHex(digest.digest());
        if (torn > 0 || !node.path("sha256").asText().equals(hash)) {
          torn = torn == 0 ? number : torn;
          return;
        }
        if (node.path("ready").asInt(-1) != open.size()) {
          throw damaged(file, number, open.size() + " entries for " + node, null);
        }
        ready.addAll(open);
        open.clear();
        digest = ContentHash.digest();
        return;
      }
      digest.update(line);
      digest.update((byte) '\n');
      if (node.path("done").asBoolean()) {
        done = true;
        rolledBack = node.path("rolledBack").asBoolean();
        node.path("skipped").forEach(s -> skipped.add(s.asText()));
        if (torn > 0 && !rolledBack) {
          throw damaged(file, torn, "something else", null);
        }
      } else if (entry != null) {
        open.add(entry);
      } else if (header == null && torn == 0 && node.path("journal").asInt() == 1) {
        header = node;
      } else if (torn == 0) {
        throw damaged(file, number, "no line of a journal of version 1", null);
      }
    }
  }

  private static Instant instant(Path file, String text) {
    try {
      return Instant.parse(text);
    } catch (java.time.format.DateTimeParseException e) {
      throw damaged(file, 1, "no time", e);
    }
  }

  /** Lines of a file, read in blocks: old journals are large. */
  private static final class Lines implements AutoCloseable {
    private final InputStream in;
    private final byte[] block = new byte[1 << 16];
    private int at;
    private int end;

    Lines(Path file) throws IOException {
      in = Files.newInputStream(file);
    }

    /** The next line; null at the end and where the last line has no line feed, being half. */
    byte @Nullable [] next() throws IOException {
      ByteArrayOutputStream line = new ByteArrayOutputStream(256);
      while (true) {
        if (at == end) {
          at = 0;
          end = Math.max(0, in.read(block));
          if (end == 0) {
            return null;
          }
        }
        int stop = at;
        while (stop < end && block[stop] != '\n') {
          stop++;
        }
        line.write(block, at, stop - at);
        if (line.size() > MAX_LINE) {
          throw new IOException("a line longer than " + MAX_LINE + " bytes");
        }
        at = stop;
        if (at < end) {
          at++;
          return line.toByteArray();
        }
      }
    }

    @Override
    public void close() throws IOException {
      in.close();
    }
  }

  private static RefusedInputException damaged(
      Path file, int line, String actual, @Nullable Throwable cause) {
    return new RefusedInputException(
        file.toString(),
        "must be a journal as it was written",
        actual + " in line " + line,
        "Nothing was changed. Sidecars as they were before may be in it: keep a copy, then move it"
            + " out of the folder and run the command again",
        cause);
  }

  private static byte[] deflate(byte[] bytes) {
    Deflater deflater = new Deflater(Deflater.BEST_SPEED);
    try {
      deflater.setInput(bytes);
      deflater.finish();
      ByteArrayOutputStream out = new ByteArrayOutputStream(bytes.length / 3 + 64);
      byte[] buffer = new byte[8192];
      while (!deflater.finished()) {
        out.write(buffer, 0, deflater.deflate(buffer));
      }
      return out.toByteArray();
    } finally {
      deflater.end();
    }
  }

  private static byte[] inflate(byte[] deflated) throws IOException {
    Inflater inflater = new Inflater();
    try {
      inflater.setInput(deflated);
      ByteArrayOutputStream out = new ByteArrayOutputStream(deflated.length * 3);
      byte[] buffer = new byte[8192];
      while (!inflater.finished()) {
        int n = inflater.inflate(buffer);
        if (n == 0 && (inflater.needsInput() || inflater.needsDictionary())) {
          throw new IOException("old content ends too early");
        }
        out.write(buffer, 0, n);
        if (out.size() > XmpPacket.MAX_BYTES) {
          throw new IOException("old content is larger than a sidecar can be");
        }
      }
      return out.toByteArray();
    } catch (DataFormatException e) {
      throw new IOException("old content is damaged", e);
    } finally {
      inflater.end();
    }
  }
}
