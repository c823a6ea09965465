package samelight.engine.delivery;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.store.JsonIn;
import samelight.engine.store.JsonOut;

/**
 * What one gallery holds: {@code manifest.json} in its folder, and the same as {@code manifest.csv}
 * for a spreadsheet. It marks the folder as one that may be replaced by a later delivery.
 *
 * @param shoot name of the shoot's folder
 * @param kind whole or early
 * @param pictures in the gallery's order
 * @param others hash of each other file that the delivery made, by name, less the manifest itself
 */
record GalleryManifest(
    String shoot, Delivery.Kind kind, List<Line> pictures, Map<String, String> others) {
  static final String JSON = "manifest.json";
  static final String CSV = "manifest.csv";
  private static final int VERSION = 1;
  private static final String NEXT =
      "Deliver into another folder, or take the file from a copy of the gallery";

  /**
   * A delivered picture.
   *
   * @param file its frame, export, name and hash
   * @param size bytes
   * @param exportSize bytes of its export
   * @param exportModified last modification of its export, milliseconds since 1970-01-01T00:00Z
   * @param made how it was made, so that another way makes it anew
   * @param section section's name
   * @param number number in the gallery
   * @param variant what tells it from others of its frame, or empty
   * @param opening whether it opens its section
   */
  record Line(
      DeliveredFile file,
      long size,
      long exportSize,
      long exportModified,
      String made,
      String section,
      int number,
      String variant,
      boolean opening) {}

  GalleryManifest {
    pictures = List.copyOf(pictures);
    others = Collections.unmodifiableMap(new TreeMap<>(others));
  }

  /** Whether a folder has one. */
  static boolean exists(Path gallery) {
    return Files.isRegularFile(gallery.resolve(JSON), LinkOption.NOFOLLOW_LINKS);
  }

  /**
   * Reads a gallery's.
   *
   * @throws RefusedInputException if it is damaged
   */
  static GalleryManifest read(Path gallery) {
    Path file = gallery.resolve(JSON);
    var m =
        new Object() {
          String shoot = "";
          Delivery.Kind kind = Delivery.Kind.WHOLE;
          final List<Line> pictures = new ArrayList<>();
          final Map<String, String> others = new TreeMap<>();
        };
    try (JsonIn in = new JsonIn(Files.newInputStream(file), file.toString(), NEXT)) {
      in.document(
          f -> {
            switch (f) {
              case "version" -> in.whole(1, VERSION);
              case "shoot" -> m.shoot = in.string();
              case "kind" -> m.kind = in.oneOf(Delivery.Kind.class);
              case "pictures" -> in.array(() -> m.pictures.add(line(in)));
              case "others" -> in.array(() -> other(in, m.others));
              default -> {
                return false;
              }
            }
            return true;
          },
          "version",
          "shoot",
          "kind",
          "pictures",
          "others");
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(), "must be readable", DurableFile.reasonOf(e), NEXT, e);
    }
    return new GalleryManifest(m.shoot, m.kind, m.pictures, m.others);
  }

  private static void other(JsonIn in, Map<String, String> others) throws IOException {
    String[] entry = {"", ""};
    in.object(
        f -> {
          switch (f) {
            case "name" -> entry[0] = in.path();
            case "sha256" -> entry[1] = in.string();
            default -> {
              return false;
            }
          }
          return true;
        },
        "name",
        "sha256");
    others.put(entry[0], entry[1]);
  }

  private static Line line(JsonIn in) throws IOException {
    var l =
        new Object() {
          String frame = "";
          String export = "";
          String name = "";
          String sha256 = "";
          long size;
          long exportSize;
          long exportModified;
          String made = "";
          String section = "";
          int number;
          String variant = "";
          boolean opening;
        };
    in.object(
        f -> {
          switch (f) {
            case "frame" -> l.frame = in.path();
            case "export" -> l.export = in.path();
            case "name" -> l.name = in.path();
            case "sha256" -> l.sha256 = in.string();
            case "size" -> l.size = in.whole(0, Long.MAX_VALUE);
            case "exportSize" -> l.exportSize = in.whole(0, Long.MAX_VALUE);
            case "exportModified" -> l.exportModified = in.whole(Long.MIN_VALUE, Long.MAX_VALUE);
            case "made" -> l.made = in.sharedString();
            case "section" -> l.section = in.sharedString();
            case "number" -> l.number = in.integer(1, Integer.MAX_VALUE);
            case "variant" -> l.variant = in.sharedString();
            case "opening" -> l.opening = in.bool();
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "export",
        "name",
        "sha256",
        "size",
        "exportSize",
        "exportModified",
        "made",
        "section",
        "number",
        "variant",
        "opening");
    return in.checked(
        () ->
            new Line(
                new DeliveredFile(l.frame, l.export, l.name, l.sha256),
                l.size,
                l.exportSize,
                l.exportModified,
                l.made,
                l.section,
                l.number,
                l.variant,
                l.opening));
  }

  void writeJson(OutputStream to) throws IOException {
    JsonOut.write(
        to,
        out -> {
          out.field("version", VERSION);
          out.field("shoot", shoot);
          out.field("kind", JsonOut.word(kind));
          out.array(
              "pictures",
              () -> {
                for (Line l : pictures) {
                  out.object(() -> write(out, l));
                }
              });
          out.array(
              "others",
              () -> {
                for (Map.Entry<String, String> e : others.entrySet()) {
                  out.object(
                      () -> {
                        out.field("name", e.getKey());
                        out.field("sha256", e.getValue());
                      });
                }
              });
        });
  }

  private static void write(JsonOut out, Line l) throws IOException {
    out.field("number", l.number);
    DeliveryLog.write(out, l.file);
    out.field("size", l.size);
    out.field("exportSize", l.exportSize);
    out.field("exportModified", l.exportModified);
    out.field("made", l.made);
    out.field("section", l.section);
    out.field("variant", l.variant);
    out.field("opening", l.opening);
  }

  /** Writes lines of RFC 4180 in UTF-8. */
  void writeCsv(OutputStream to) throws IOException {
    BufferedWriter out = new BufferedWriter(new OutputStreamWriter(to, StandardCharsets.UTF_8));
    row(
        out, "number", "name", "section", "variant", "opening", "frame", "export", "size",
        "sha256");
    for (Line l : pictures) {
      row(
          out,
          String.valueOf(l.number),
          l.file.name(),
          l.section,
          l.variant,
          l.opening ? "yes" : "",
          l.file.frame(),
          l.file.export(),
          String.valueOf(l.size),
          l.file.sha256());
    }
    out.flush();
  }

  private static void row(BufferedWriter out, String... cells) throws IOException {
    for (int i = 0; i < cells.length; i++) {
      out.write(i == 0 ? "" : ",");
      out.write(cell(cells[i]));
    }
    out.write("\r\n");
  }

  /**
   * A cell in quotes. What a spreadsheet would run as a formula (OWASP, <i>CSV injection</i>: a
   * first character {@code = + - @}, tab or line break) gets an apostrophe before it.
   */
  static String cell(String text) {
    String safe = text;
    if (!text.isEmpty() && "=+-@\t\r\n|%\uFF1D\uFF0B\uFF0D\uFF20".indexOf(text.charAt(0)) >= 0) {
      safe = "'" + text;
    }
    return '"' + safe.replace("\"", "\"\"") + '"';
  }

  /** The picture of a name, or null. */
  @Nullable Line named(String name) {
    for (Line l : pictures) {
      if (l.file.name().equals(name)) {
        return l;
      }
    }
    return null;
  }
}
