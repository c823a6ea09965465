package samelight.engine.sidecar;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;

/**
 * Reads one journal line by line. What was torn at its end is left out; damage anywhere else is
 * refused, since it may hide old content.
 */
final class JournalReader {
  private static final int MAX_LINE = 48 << 20;

  private final Path file;
  private final boolean whole;

  /** Frames of one group are carried the same properties: one map in memory for all of them. */
  private final Map<Map<String, String>, Map<String, String>> shared = new HashMap<>();

  private final List<Journal.Entry> ready = new ArrayList<>();
  private final List<Journal.Entry> open = new ArrayList<>();
  private final Set<String> skipped = new HashSet<>();
  private MessageDigest digest = ContentHash.digest();
  private @Nullable JsonNode header;
  private boolean done;
  private boolean rolledBack;

  /** First line that was torn while it was written, or 0. */
  private int torn;

  JournalReader(Path file, boolean whole) {
    this.file = file;
    this.whole = whole;
  }

  private Journal.Entry slim(Journal.Entry e) {
    LastCarried c = e.carried();
    if (c != null) {
      Map<String, String> first = shared.putIfAbsent(c.properties(), c.properties());
      c = first == null ? c : new LastCarried(c.map(), c.numbers(), first);
    }
    Journal.Before b = e.before();
    if (b != null && !whole) {
      b = new Journal.Before(b.sha256(), "");
    }
    return new Journal.Entry(e.sidecar(), b, e.after(), c, e.undoes(), e.saved());
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
        header.path("kind").asText().equals("revert") ? Journal.Kind.REVERT : Journal.Kind.CARRY,
        instant(file, header.path("at").asText()),
        maps,
        inside,
        ready,
        done,
        rolledBack);
  }

  private void line(int number, byte[] line) {
    JsonNode node;
    Journal.Entry entry = null;
    try {
      node = Journal.MAPPER.readTree(line);
      if (node.has("sidecar")) {
        entry = slim(Journal.MAPPER.treeToValue(node, Journal.Entry.class));
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

  private static Instant instant(Path file, String text) {
    try {
      return Instant.parse(text);
    } catch (java.time.format.DateTimeParseException e) {
      throw damaged(file, 1, "no time", e);
    }
  }

  /** Lines of a file, read in blocks: old journals are large. */
  static final class Lines implements AutoCloseable {
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
}
