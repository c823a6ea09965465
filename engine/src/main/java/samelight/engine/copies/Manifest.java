package samelight.engine.copies;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.store.JsonIn;
import samelight.engine.store.JsonOut;

/**
 * What one copied shoot is known to hold. While files are copied each one is added to a log, a line
 * of JSON each, so that a kill loses nothing; at the end {@code SHA256SUMS} and {@code
 * samelight/copies.json} are written whole and the log is deleted.
 */
final class Manifest implements AutoCloseable {
  static final int VERSION = 1;
  static final String NAME = "samelight/copies.json";
  private static final String LOG = "samelight/copies.log";
  private static final String NEXT =
      "Look at the other copy; where this list alone is damaged, take the other copy's";

  private final ShootPaths shoot;
  private String id = UUID.randomUUID().toString();
  private String name = "";
  private LocalDate date = LocalDate.EPOCH;
  private final TreeSet<String> places = new TreeSet<>();
  private final TreeMap<String, CardNote> cards = new TreeMap<>();
  private final TreeMap<String, CopyRecord> records = new TreeMap<>();
  private final Map<String, CopyRecord> byCard = new HashMap<>();
  private final Map<String, TreeSet<String>> byName = new HashMap<>();
  private final Map<String, TreeSet<String>> byHash = new HashMap<>();
  private @Nullable FileChannel log;
  private boolean dirty;

  /**
   * A card that was copied.
   *
   * @param label its label
   * @param line what to write on it, or why it may not be put away
   * @param done whether all of it is on every destination
   * @param at when
   */
  record CardNote(String label, String line, boolean done, Instant at) {}

  private Manifest(ShootPaths shoot) {
    this.shoot = shoot;
  }

  /** Whether a folder holds a manifest, finished or not. */
  static boolean exists(Path folder) {
    return Files.isRegularFile(folder.resolve(NAME), LinkOption.NOFOLLOW_LINKS)
        || Files.isRegularFile(folder.resolve(LOG), LinkOption.NOFOLLOW_LINKS);
  }

  /** A new one, not written yet. */
  static Manifest make(ShootPaths shoot, String id, String name, LocalDate date) {
    Manifest m = new Manifest(shoot);
    m.id = id;
    m.name = name;
    m.date = date;
    return m;
  }

  /**
   * Reads the manifest of a copied shoot, with what an interrupted run added.
   *
   * @throws RefusedInputException if it is damaged
   */
  static Manifest read(ShootPaths shoot) {
    Manifest m = new Manifest(shoot);
    Path file = shoot.resolve(NAME);
    try {
      if (Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
        try (JsonIn in = new JsonIn(Files.newInputStream(file), file.toString(), NEXT)) {
          in.document(f -> m.field(in, f), "version", "id", "shoot", "date", "files");
        }
      }
      m.readLog();
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(), "must be readable", DurableFile.reasonOf(e), NEXT, e);
    }
    return m;
  }

  private void readLog() throws IOException {
    Path file = shoot.resolve(LOG);
    if (!Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    dirty = true;
    String text = new String(Files.readAllBytes(file), StandardCharsets.UTF_8);
    int whole = text.lastIndexOf('\n'); // a last line without its end was cut by the interruption
    int number = 0;
    for (String line : whole < 0 ? new String[0] : text.substring(0, whole).split("\n", -1)) {
      number++;
      byte[] bytes = line.getBytes(StandardCharsets.UTF_8);
      try (JsonIn in =
          new JsonIn(new ByteArrayInputStream(bytes), file + ", entry " + number, NEXT)) {
        in.document(f -> entry(in, f));
      }
    }
  }

  /** A line of the log: the shoot, a file, or a file that is no more. */
  private boolean entry(JsonIn in, String field) throws IOException {
    switch (field) {
      case "id" -> id = in.string();
      case "shoot" -> name = in.string();
      case "date" -> date = in.checked(() -> LocalDate.parse(in.string()));
      case "place" -> places.add(in.string());
      case "file" -> add(CopyRecordJson.read(in));
      case "dropped" -> forget(in.string());
      default -> {
        return false;
      }
    }
    return true;
  }

  private boolean field(JsonIn in, String field) throws IOException {
    switch (field) {
      case "version" -> in.whole(1, VERSION);
      case "id" -> id = in.string();
      case "shoot" -> name = in.string();
      case "date" -> date = in.checked(() -> LocalDate.parse(in.string()));
      case "written" -> in.checked(() -> Instant.parse(in.string()));
      case "places" -> in.array(() -> places.add(in.string()));
      case "cards" -> in.array(() -> card(in));
      case "files" -> in.array(() -> add(CopyRecordJson.read(in)));
      default -> {
        return false;
      }
    }
    return true;
  }

  private void card(JsonIn in) throws IOException {
    var c =
        new Object() {
          String label = "";
          String line = "";
          boolean done;
          Instant at = Instant.EPOCH;
        };
    in.object(
        f -> {
          switch (f) {
            case "label" -> c.label = in.string();
            case "line" -> c.line = in.string();
            case "done" -> c.done = in.bool();
            case "at" -> c.at = in.checked(() -> Instant.parse(in.string()));
            default -> {
              return false;
            }
          }
          return true;
        },
        "label",
        "line",
        "done",
        "at");
    cards.put(c.label, new CardNote(c.label, c.line, c.done, c.at));
  }

  private static String key(String cardPath, long size, String head) {
    return size + " " + head + " " + cardPath;
  }

  private void add(CopyRecord record) {
    CopyRecord before = records.put(record.path(), record);
    if (before != null) {
      byCard.remove(key(before.cardPath(), before.size(), before.head()), before);
    }
    byCard.put(key(record.cardPath(), record.size(), record.head()), record);
    byName
        .computeIfAbsent(nameKey(record.fileName(), record.size()), k -> new TreeSet<>())
        .add(record.path());
    byHash.computeIfAbsent(record.sha256(), k -> new TreeSet<>()).add(record.path());
  }

  private static String nameKey(String fileName, long size) {
    return size + " " + fileName.toLowerCase(Locale.ROOT);
  }

  private void forget(String path) {
    CopyRecord gone = records.remove(path);
    if (gone != null) {
      byCard.remove(key(gone.cardPath(), gone.size(), gone.head()), gone);
    }
  }

  String id() {
    return id;
  }

  String name() {
    return name;
  }

  LocalDate date() {
    return date;
  }

  /** Where copies of this shoot were put, absolute paths, this one included. */
  synchronized List<String> places() {
    return List.copyOf(places);
  }

  synchronized List<CardNote> cards() {
    return List.copyOf(cards.values());
  }

  synchronized SortedMap<String, CopyRecord> records() {
    return new TreeMap<>(records);
  }

  /** The copy of a file of a card that was copied before, or null. */
  synchronized @Nullable CopyRecord of(CardFile file, String head) {
    CopyRecord r = byCard.get(key(file.name(), file.size(), head));
    return r != null && r.modifiedMillis() == file.modifiedMillis() ? r : null;
  }

  synchronized @Nullable CopyRecord at(String path) {
    return records.get(path);
  }

  /** Copies of this file name, in any case of letters, and size. */
  synchronized List<CopyRecord> likely(String fileName, long size) {
    List<CopyRecord> found = new ArrayList<>();
    for (String path : byName.getOrDefault(nameKey(fileName, size), new TreeSet<>())) {
      CopyRecord r = records.get(path);
      if (r != null) {
        found.add(r);
      }
    }
    return found;
  }

  /** Copies with this content. */
  synchronized List<CopyRecord> sameContent(String hash) {
    List<CopyRecord> found = new ArrayList<>();
    for (String path : byHash.getOrDefault(hash, new TreeSet<>())) {
      CopyRecord r = records.get(path);
      if (r != null && r.sha256().equals(hash)) {
        found.add(r);
      }
    }
    return found;
  }

  /** Whether nothing is known yet. */
  synchronized boolean isEmpty() {
    return records.isEmpty();
  }

  /** Opens the log. */
  synchronized void begin(List<String> allPlaces) throws IOException {
    places.addAll(allPlaces);
    Path file = shoot.resolve(LOG);
    Files.createDirectories(shoot.own());
    boolean cut = false;
    if (Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      byte[] bytes = Files.readAllBytes(file);
      cut = bytes.length > 0 && bytes[bytes.length - 1] != '\n';
      if (cut) {
        int whole = new String(bytes, StandardCharsets.ISO_8859_1).lastIndexOf('\n') + 1;
        DurableFile.write(file, Arrays.copyOf(bytes, whole));
      }
    }
    log =
        FileChannel.open(
            file, StandardOpenOption.CREATE, StandardOpenOption.WRITE, StandardOpenOption.APPEND);
    append(
        out -> {
          out.field("id", id);
          out.field("shoot", name);
          out.field("date", date.toString());
        });
    for (String place : allPlaces) {
      append(out -> out.field("place", place));
    }
    force();
  }

  /** Adds or replaces a record; it is on the device after the next {@link #force}. */
  synchronized void put(CopyRecord record) throws IOException {
    add(record);
    append(out -> out.object("file", () -> CopyRecordJson.write(out, record)));
  }

  /** Forgets a file that is no more under this path. */
  synchronized void drop(String path) throws IOException {
    forget(path);
    append(out -> out.field("dropped", path));
  }

  synchronized void card(CardNote note) {
    cards.put(note.label(), note);
    dirty = true;
  }

  private void append(JsonOut.Document line) throws IOException {
    FileChannel channel = log;
    if (channel == null) {
      throw new IllegalStateException("the log must be open");
    }
    dirty = true;
    String text =
        new String(JsonOut.bytes(line), StandardCharsets.UTF_8).replaceAll("\\s*\n\\s*", " ");
    ByteBuffer bytes = ByteBuffer.wrap((text.strip() + "\n").getBytes(StandardCharsets.UTF_8));
    while (bytes.hasRemaining()) {
      channel.write(bytes);
    }
  }

  synchronized void force() throws IOException {
    FileChannel channel = log;
    if (channel != null) {
      channel.force(false);
    }
  }

  /**
   * Writes both lists whole and deletes the log.
   *
   * @throws samelight.engine.files.CouldNotWriteException if that fails; the log is then still
   *     there
   */
  synchronized void finish() throws IOException {
    if (!dirty) {
      return;
    }
    TreeMap<String, String> sums = new TreeMap<>();
    records.values().forEach(r -> sums.put(r.path(), r.sha256()));
    DurableFile.write(
        shoot.resolve(NAME),
        out ->
            JsonOut.write(
                out,
                json -> {
                  json.field("version", VERSION);
                  json.field("id", id);
                  json.field("shoot", name);
                  json.field("date", date.toString());
                  json.field("written", Instant.now().toString());
                  json.strings("places", places);
                  json.array("cards", () -> writeCards(json));
                  json.array("files", () -> writeFiles(json));
                }));
    DurableFile.write(shoot.resolve(Sums.NAME), out -> Sums.write(out, sums));
    FileChannel channel = log;
    if (channel != null) {
      channel.close();
      log = null;
    }
    Files.deleteIfExists(shoot.resolve(LOG));
    dirty = false;
  }

  private void writeCards(JsonOut json) throws IOException {
    for (CardNote card : cards.values()) {
      json.object(
          () -> {
            json.field("label", card.label());
            json.field("line", card.line());
            json.field("done", card.done());
            json.field("at", card.at().toString());
          });
    }
  }

  private void writeFiles(JsonOut json) throws IOException {
    for (CopyRecord r : records.values()) {
      json.object(() -> CopyRecordJson.write(json, r));
    }
  }

  @Override
  public synchronized void close() throws IOException {
    FileChannel channel = log;
    if (channel != null) {
      channel.close();
      log = null;
    }
  }
}
