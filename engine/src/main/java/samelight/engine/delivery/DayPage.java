package samelight.engine.delivery;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.report.HtmlReport;
import samelight.engine.report.Wording;

/**
 * {@code index.html} of a gallery: the day as a strip of its sections, to look through without a
 * network. Its policy lets in nothing but its own style and script, by their hashes, and pictures
 * beside it; without a script each small picture is a link to the delivered one.
 *
 * @param title the shoot's name
 * @param lede the gallery in one sentence
 * @param chapters sections in the order of the day
 */
public record DayPage(String title, String lede, List<Chapter> chapters) {
  private static final DateTimeFormatter HOUR = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);

  /** Copies its list. */
  public DayPage {
    chapters = List.copyOf(chapters);
  }

  /**
   * One section.
   *
   * @param anchor id on the page
   * @param name for a person
   * @param facts when and how many
   * @param brief the same in a word or two
   * @param pictures in their order
   */
  public record Chapter(
      String anchor, String name, String facts, String brief, List<Shown> pictures) {
    /** Copies its list. */
    public Chapter {
      pictures = List.copyOf(pictures);
    }
  }

  /**
   * One picture.
   *
   * @param number number and variant
   * @param name path in the gallery
   * @param href address of the delivered picture, relative
   * @param small address of the small one, relative
   * @param alt what stands for it where it can't be seen
   * @param width of the small one, pixels
   * @param height of the small one, pixels
   * @param opening whether it opens its section
   */
  public record Shown(
      String number,
      String name,
      String href,
      String small,
      String alt,
      int width,
      int height,
      boolean opening) {}

  /**
   * Makes the page.
   *
   * @param small address of the small picture of each name
   */
  static DayPage of(String title, List<GalleryEntry> entries, Map<String, String> small) {
    Map<String, List<GalleryEntry>> folders = new LinkedHashMap<>();
    entries.forEach(e -> folders.computeIfAbsent(e.folder(), f -> new ArrayList<>()).add(e));
    List<Chapter> chapters = new ArrayList<>();
    for (List<GalleryEntry> own : folders.values()) {
      chapters.add(chapter(chapters.size() + 1, own, small));
    }
    String lede =
        Wording.count(entries.size(), "picture")
            + " in "
            + Wording.count(chapters.size(), "section")
            + ".";
    return new DayPage(title, lede, chapters);
  }

  private static Chapter chapter(int number, List<GalleryEntry> own, Map<String, String> small) {
    GalleryEntry first = own.get(0);
    String span = span(own);
    List<Shown> pictures = new ArrayList<>();
    for (GalleryEntry e : own) {
      String file = e.name().substring(e.folder().length() + 1);
      LocalDateTime taken = e.taken();
      SmallPicture.Size size = SmallPicture.size(e.head());
      pictures.add(
          new Shown(
              file.substring(0, file.lastIndexOf('.')).replace('_', ' '),
              e.name(),
              address(e.name()),
              address(small.getOrDefault(e.name(), e.name())),
              e.section()
                  + ", picture "
                  + (pictures.size() + 1)
                  + " of "
                  + own.size()
                  + (e.variant().isEmpty() ? "" : ", rendering " + e.variant())
                  + (taken == null ? "" : ", taken at " + HOUR.format(taken)),
              size.width(),
              size.height(),
              e.opening()));
    }
    return new Chapter(
        "section-" + number,
        first.section(),
        (span.isEmpty() ? "" : span + ", ") + Wording.count(own.size(), "picture"),
        (span.isEmpty() ? "" : span.substring(0, 5) + ", ") + own.size(),
        pictures);
  }

  private static String span(List<GalleryEntry> own) {
    LocalDateTime from = null;
    LocalDateTime to = null;
    for (GalleryEntry e : own) {
      LocalDateTime t = e.taken();
      from = earlier(from, t) ? t : from;
      to = later(to, t);
    }
    return from == null || to == null ? "" : HOUR.format(from) + " to " + HOUR.format(to);
  }

  private static boolean earlier(@Nullable LocalDateTime than, @Nullable LocalDateTime t) {
    return t != null && (than == null || t.isBefore(than));
  }

  private static @Nullable LocalDateTime later(
      @Nullable LocalDateTime a, @Nullable LocalDateTime b) {
    return a == null || (b != null && b.isAfter(a)) ? b : a;
  }

  /** A path as a relative address (RFC 3986). */
  static String address(String path) {
    StringBuilder out = new StringBuilder();
    for (byte b : path.getBytes(StandardCharsets.UTF_8)) {
      char c = (char) (b & 255);
      boolean plain =
          (c >= 'a' && c <= 'z')
              || (c >= 'A' && c <= 'Z')
              || (c >= '0' && c <= '9')
              || "-._~/".indexOf(c) >= 0;
      if (plain) {
        out.append(c);
      } else {
        out.append(String.format("%%%02X", (int) c));
      }
    }
    return out.toString();
  }

  /** What the page may load. */
  public String policy() {
    return "default-src 'none'; img-src 'self' file:; style-src 'sha256-"
        + hash(style())
        + "'; script-src 'sha256-"
        + hash(script())
        + "'; base-uri 'none'; form-action 'none'";
  }

  private static String hash(String text) {
    return Base64.getEncoder()
        .encodeToString(ContentHash.digest().digest(text.getBytes(StandardCharsets.UTF_8)));
  }

  /** The style sheet. */
  public String style() {
    return resource("day.css");
  }

  /** The script. */
  public String script() {
    return resource("day.js");
  }

  private static String resource(String name) {
    try (InputStream in = DayPage.class.getResourceAsStream(name)) {
      return new String(Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Writes the page, UTF-8. */
  void write(OutputStream out) throws IOException {
    HtmlReport.render("delivery.jte", this, out);
  }
}
