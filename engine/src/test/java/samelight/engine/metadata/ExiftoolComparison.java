package samelight.engine.metadata;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Frame;

/**
 * Compares what is read with {@code exiftool -j -n}, field by field, over a folder of pictures.
 *
 * <p>A value is wrong if both give one and they differ, missing if only exiftool does. Which of
 * exiftool's tags a field is held against stands in {@link #FIELDS}, in order of preference.
 */
final class ExiftoolComparison {
  /** How a field compares. */
  enum Outcome {
    SAME,
    WRONG,
    MISSING,
    /** We give a value that exiftool has under none of the names. */
    ONLY_HERE
  }

  /**
   * One compared value.
   *
   * @param field its name
   * @param file relative path
   * @param tag exiftool's tag
   */
  record Line(Outcome outcome, String field, String file, String tag, String here, String there) {
    /** How a listed difference names it. */
    String key() {
      return file + "\t" + field;
    }
  }

  private record Field(
      String name, Function<Frame, @Nullable Object> here, double tolerance, List<String> tags) {}

  private static final List<Field> FIELDS = new ArrayList<>();

  private static void field(
      String name, double tolerance, Function<Frame, @Nullable Object> here, String... tags) {
    FIELDS.add(new Field(name, here, tolerance, List.of(tags)));
  }

  static {
    field(
        "time",
        0,
        f -> {
          var t = f.time();
          return t == null
              ? null
              : t.local()
                  .truncatedTo(java.time.temporal.ChronoUnit.SECONDS)
                  .format(java.time.format.DateTimeFormatter.ofPattern("uuuu:MM:dd HH:mm:ss"));
        },
        "EXIF:DateTimeOriginal",
        "EXIF:CreateDate");
    field(
        "subSecond",
        1e-4,
        f -> {
          var t = f.time();
          return t == null || !t.subSecond() ? null : (t.localSeconds() % 1.0);
        },
        "EXIF:SubSecTimeOriginal");
    field(
        "offset",
        0,
        f -> {
          var t = f.time();
          var o = t == null ? null : t.offset();
          return o == null ? null : o.getTotalSeconds() == 0 ? "+00:00" : o.getId();
        },
        "EXIF:OffsetTimeOriginal");
    field(
        "exposureTime",
        1e-4,
        f -> {
          var v = f.settings().exposureTime();
          return v == null ? null : v.seconds();
        },
        "EXIF:ExposureTime");
    field(
        "fNumber",
        1e-4,
        f -> {
          var v = f.settings().fNumber();
          return v == null ? null : v.value();
        },
        "EXIF:FNumber");
    field(
        "iso",
        1e-4,
        f -> {
          var v = f.settings().iso();
          return v == null ? null : v.value();
        },
        "EXIF:ISO",
        "MakerNotes:ISO");
    field(
        "bias",
        1e-3,
        f -> {
          var v = f.settings().bias();
          return v == null ? null : v.stops();
        },
        "EXIF:ExposureCompensation");
    field("program", 0, f -> zeroless(f.settings().program()), "EXIF:ExposureProgram");
    field(
        "mode",
        0,
        f -> f.settings().mode() < 0 ? null : (Object) (double) f.settings().mode(),
        "EXIF:ExposureMode");
    field("metering", 0, f -> zeroless(f.settings().metering()), "EXIF:MeteringMode");
    field(
        "flash",
        0,
        f -> {
          var v = f.flash();
          return v == null ? null : (double) v.bits();
        },
        "EXIF:Flash");
    field(
        "whiteBalance",
        0,
        f ->
            switch (f.whiteBalance().setting()) {
              case AUTO -> 0.0;
              case PRESET -> 1.0;
              case UNKNOWN -> null;
            },
        "EXIF:WhiteBalance");
    field("lightSource", 0, f -> zeroless(f.whiteBalance().lightSource()), "EXIF:LightSource");
    field("make", 0, f -> blankless(f.body().make()), "EXIF:Make");
    field("model", 0, f -> blankless(f.body().model()), "EXIF:Model");
    field(
        "serial",
        0,
        f -> f.body().serial(),
        "EXIF:SerialNumber",
        "EXIF:CameraSerialNumber",
        "MakerNotes:SerialNumber",
        "MakerNotes:InternalSerialNumber");
    field("lens", 0, f -> f.optics().lens(), "EXIF:LensModel", "MakerNotes:LensModel");
    field("focalLength", 1e-3, f -> f.optics().focalLengthMm(), "EXIF:FocalLength");
    field(
        "orientation",
        0,
        f ->
            f.provenance().containsKey("orientation")
                ? (Object) (double) f.picture().orientation()
                : null,
        "QuickTime:Rotation",
        "EXIF:Orientation");
    field("rating", 0, f -> f.marks().rating(), "XMP:Rating");
    field("label", 0, f -> f.marks().label(), "XMP:Label");
    field(
        "neutralRed",
        2e-3,
        f -> {
          var n = f.whiteBalance().point().neutral();
          return n == null ? null : n.red();
        },
        "NEUTRAL:red");
    field(
        "neutralBlue",
        2e-3,
        f -> {
          var n = f.whiteBalance().point().neutral();
          return n == null ? null : n.blue();
        },
        "NEUTRAL:blue");
    field(
        "kelvin",
        1e-3,
        f -> {
          var p = f.whiteBalance().point();
          return p.kind() == samelight.engine.frame.WhitePoint.Kind.KELVIN && p.kelvin() != null
              ? p.kelvin().value()
              : null;
        },
        "MakerNotes:ColorTempAsShot",
        "MakerNotes:ColorTemperature",
        "MakerNotes:WhiteBalanceTemperature");
    field(
        "sequence",
        0,
        f -> f.marks().sequence() == null ? null : (double) f.marks().sequence(),
        "MakerNotes:SequenceNumber");
  }

  private static @Nullable Object zeroless(int code) {
    return code == 0 ? null : (double) code;
  }

  private static @Nullable Object blankless(String s) {
    return s.isEmpty() ? null : s;
  }

  private ExiftoolComparison() {}

  /** Whether exiftool runs here. */
  static boolean installed() {
    try {
      return new ProcessBuilder("exiftool", "-ver").redirectErrorStream(true).start().waitFor()
          == 0;
    } catch (IOException e) {
      return false;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }

  /** Runs both over a folder. */
  static List<Line> run(Path folder) throws IOException {
    Map<String, JsonNode> there = exiftool(folder);
    ShootFiles.Listing listing = ShootFiles.list(folder.toRealPath());
    FrameReader reader = new FrameReader();
    List<Line> lines = new ArrayList<>();
    for (ShootFiles.Candidate c : listing.candidates()) {
      JsonNode tags = there.get(c.name());
      if (tags == null) {
        continue;
      }
      Frame frame = reader.read(c.name(), c.path()).frame();
      for (Field field : FIELDS) {
        compare(field, c.name(), frame, tags).ifPresent(lines::add);
      }
    }
    return lines;
  }

  private static java.util.Optional<Line> compare(
      Field field, String file, @Nullable Frame frame, JsonNode tags) {
    Object here = frame == null ? null : field.here.apply(frame);
    String theirs = "";
    String tag = "";
    for (String t : field.tags) {
      String v = value(tags, t);
      if (v != null && !unknown(field.name, v)) {
        theirs = v;
        tag = t;
        break;
      }
    }
    if (here == null && theirs.isEmpty()) {
      return java.util.Optional.empty();
    }
    Outcome outcome;
    if (here == null) {
      outcome = Outcome.MISSING;
    } else if (theirs.isEmpty()) {
      outcome = Outcome.ONLY_HERE;
    } else {
      outcome = same(field, here, theirs) ? Outcome.SAME : Outcome.WRONG;
    }
    return java.util.Optional.of(
        new Line(outcome, field.name, file, tag, String.valueOf(here), theirs));
  }

  private static boolean same(Field field, Object here, String theirs) {
    if (here instanceof Double d) {
      String t = field.name.equals("subSecond") ? "0." + theirs.strip() : theirs;
      try {
        double v = Double.parseDouble(t.strip());
        return Math.abs(d - v) <= field.tolerance * Math.max(Math.abs(v), 1e-9) || d == v;
      } catch (NumberFormatException e) {
        return false;
      }
    }
    String shown = FrameFields.clean(theirs);
    // What follows a NUL is filling; exiftool shows a byte of it after the Panasonic number.
    return shown.equals(here) || (field.name.equals("serial") && shown.equals(here + "^"));
  }

  /** What the standard itself calls unknown, or a date that doesn't exist, isn't a value. */
  static boolean unknown(String field, String v) {
    return switch (field) {
      case "exposureTime", "fNumber", "iso", "focalLength" ->
          v.equals("0") || v.equals("undef") || v.equals("inf");
      case "program", "metering", "lightSource" -> v.equals("0");
      case "time" -> v.startsWith("0000") || v.isBlank() || v.startsWith("  ");
      case "kelvin" -> v.equals("0");
      // Exif leaves the places of unknown digits blank (Exif 2.32, OffsetTime).
      case "offset" -> v.replace(':', ' ').isBlank();
      case "make", "model", "lens", "serial", "label" -> v.isBlank() || v.matches("[0 .\\-]+");
      default -> v.isBlank() || v.equals("undef");
    };
  }

  private static @Nullable String value(JsonNode tags, String tag) {
    if (tag.startsWith("NEUTRAL:")) {
      return neutral(tags, tag.endsWith("red"));
    }
    JsonNode v = tags.get(tag);
    if (tag.equals("QuickTime:Rotation")) {
      return v == null ? null : turned(v.asText());
    }
    // Canon's ColorTemperature is what the menu is set to, not what was used.
    if (tag.equals("MakerNotes:ColorTemperature")
        && tags.path("EXIF:Make").asText().startsWith("Canon")) {
      return null;
    }
    if (tag.equals("MakerNotes:ISO") && v != null && v.asText().startsWith("0 ")) {
      return v.asText().substring(2);
    }
    return v == null ? null : v.asText();
  }

  /** Degrees by which a picture in HEIF is turned to the left, as an Exif Orientation. */
  private static @Nullable String turned(String degrees) {
    return switch (degrees) {
      case "0" -> "1";
      case "90" -> "8";
      case "180" -> "3";
      case "270" -> "6";
      default -> null;
    };
  }

  private static @Nullable String neutral(JsonNode t, boolean red) {
    double[] v = numbers(t, "EXIF:AsShotNeutral");
    if (v.length == 3) {
      return text(red ? v[0] / v[1] : v[2] / v[1]);
    }
    v = numbers(t, "MakerNotes:WB_RGGBLevelsAsShot");
    if (v.length != 4) {
      v = numbers(t, "MakerNotes:WB_RGGBLevels");
    }
    if (v.length != 4) {
      v = numbers(t, "EXIF:WB_RGGBLevels");
    }
    if (v.length != 4 && t.path("EXIF:Make").asText().startsWith("SAMSUNG")) {
      v = numbers(t, "Composite:WB_RGGBLevels");
    }
    if (v.length == 4 && v[0] > 0) {
      return text((v[1] + v[2]) / 2 / (red ? v[0] : v[3]));
    }
    v = numbers(t, "MakerNotes:WB_RGBGLevels");
    if (v.length == 4) {
      return text((v[1] + v[3]) / 2 / (red ? v[0] : v[2]));
    }
    v = numbers(t, "MakerNotes:WB_RBGGLevels");
    if (v.length == 4) {
      return text((v[2] + v[3]) / 2 / (red ? v[0] : v[1]));
    }
    v = numbers(t, "RAF:WB_GRGBLevels");
    if (v.length == 4) {
      return text((v[0] + v[2]) / 2 / (red ? v[1] : v[3]));
    }
    v = numbers(t, "RAF:WB_GRBLevels");
    if (v.length == 3) {
      return text(v[0] / (red ? v[1] : v[2]));
    }
    v = numbers(t, "EXIF:WBRedLevel");
    double[] g = numbers(t, "EXIF:WBGreenLevel");
    double[] b = numbers(t, "EXIF:WBBlueLevel");
    if (v.length == 0) {
      v = numbers(t, "MakerNotes:WBRedLevel");
      g = numbers(t, "MakerNotes:WBGreenLevel");
      b = numbers(t, "MakerNotes:WBBlueLevel");
    }
    if (v.length == 1 && g.length == 1 && b.length == 1 && v[0] > 0) {
      return text(g[0] / (red ? v[0] : b[0]));
    }
    v = numbers(t, "MakerNotes:WB_RBLevels");
    if (v.length >= 2 && v[0] > 0) {
      boolean nikon = t.path("EXIF:Make").asText().toUpperCase(Locale.ROOT).startsWith("NIKON");
      double green = nikon ? 1 : 256;
      return text(green / (red ? v[0] : v[1]));
    }
    v = numbers(t, "MakerNotes:WhitePoint");
    if (v.length == 4) {
      return text((v[1] + v[2]) / 2 / (red ? v[0] : v[3]));
    }
    return null;
  }

  private static String text(double v) {
    return String.format(Locale.ROOT, "%.6g", v);
  }

  private static double[] numbers(JsonNode t, String tag) {
    JsonNode n = t.get(tag);
    if (n == null) {
      return new double[0];
    }
    String[] parts = n.asText().strip().split("\\s+", -1);
    double[] d = new double[parts.length];
    for (int i = 0; i < d.length; i++) {
      try {
        d[i] = Double.parseDouble(parts[i]);
      } catch (NumberFormatException e) {
        return new double[0];
      }
    }
    return d;
  }

  private static Map<String, JsonNode> exiftool(Path folder) throws IOException {
    Path root = folder.toRealPath();
    Process p =
        new ProcessBuilder("exiftool", "-j", "-n", "-G0", "-r", ".")
            .directory(root.toFile())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    Map<String, JsonNode> map = new TreeMap<>();
    try (InputStream in = p.getInputStream()) {
      for (JsonNode n : new ObjectMapper().readTree(in)) {
        map.put(n.get("SourceFile").asText().replaceFirst("^\\./", ""), n);
      }
    }
    return map;
  }

  /** Counts by field and outcome, as text. */
  static String summary(List<Line> lines) {
    Map<String, int[]> counts = new LinkedHashMap<>();
    FIELDS.forEach(f -> counts.put(f.name, new int[Outcome.values().length]));
    List<Outcome> order = List.of(Outcome.values());
    lines.forEach(
        l -> counts.computeIfAbsent(l.field, k -> new int[4])[order.indexOf(l.outcome)]++);
    StringBuilder b = new StringBuilder();
    b.append(
        String.format(
            "%-14s %6s %6s %8s %10s%n", "field", "same", "wrong", "missing", "only here"));
    int[] sum = new int[4];
    counts.forEach(
        (name, c) -> {
          b.append(String.format("%-14s %6d %6d %8d %10d%n", name, c[0], c[1], c[2], c[3]));
          for (int i = 0; i < 4; i++) {
            sum[i] += c[i];
          }
        });
    b.append(String.format("%-14s %6d %6d %8d %10d%n", "all", sum[0], sum[1], sum[2], sum[3]));
    b.append(
        String.format(
            Locale.ROOT,
            "missing %.2f %% of %d values%n",
            100.0 * sum[2] / Math.max(1, sum[0] + sum[1] + sum[2]),
            sum[0] + sum[1] + sum[2]));
    return b.toString();
  }

  /** Prints summary and differences of a folder. */
  public static void main(String[] args) throws IOException {
    List<Line> lines = run(Path.of(args[0]));
    System.out.print(summary(lines));
    for (Line l : lines) {
      if (l.outcome != Outcome.SAME) {
        System.out.println(
            l.outcome + "\t" + l.key() + "\t" + l.here + "\t" + l.there + "\t" + l.tag);
      }
    }
    Files.createDirectories(Path.of("target"));
  }
}
