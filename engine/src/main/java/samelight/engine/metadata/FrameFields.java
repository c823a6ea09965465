package samelight.engine.metadata;

import java.time.DateTimeException;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Flash;
import samelight.engine.frame.Optics;
import samelight.engine.frame.WhiteBalance;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Collected.StatedWhitePoint;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;

/**
 * Turns tags into a frame's fields (Exif 2.32), and notes for each field which tag said so. A value
 * outside what its quantity can be counts as unknown.
 */
final class FrameFields {
  private static final int[] DATE_PARTS = {0, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17, 19};

  private static final String HEX = "0123456789ABCDEF";

  private static final Pattern OFFSET = Pattern.compile("([+-])(\\d{2}):(\\d{2})");

  private final Collected file;
  private final Map<String, String> provenance = new HashMap<>();
  private final MakerFields maker;

  FrameFields(Collected file) {
    this.file = file;
    this.maker = new MakerFields(file, clean(text(0x010F)), this);
  }

  Map<String, String> provenance() {
    return provenance;
  }

  void note(String field, String source) {
    provenance.put(field, source);
  }

  /** A tag and where it was found. */
  private record Found(TagValue value, Directory directory, int tag) {
    String source(String name) {
      return directory.name() + " " + name + hex(tag);
    }
  }

  /** Looks in Exif, then in the first directory, where TIFF/EP has the same tags. */
  private @Nullable Found find(int tag) {
    Directory d = file.having(Directory.Kind.EXIF, tag);
    if (d == null) {
      Directory main = file.main();
      d = main != null && main.get(tag) != null ? main : null;
    }
    TagValue v = d == null ? null : d.get(tag);
    return v == null || d == null ? null : new Found(v, d, tag);
  }

  private @Nullable String text(int tag) {
    Found f = find(tag);
    return f == null ? null : f.value.text();
  }

  private double number(int tag) {
    Found f = find(tag);
    return f == null ? Double.NaN : f.value.number();
  }

  private int code(int tag, String field, String name, int unknown) {
    Found f = find(tag);
    double v = f == null ? Double.NaN : f.value.number();
    if (f == null || !(v >= 0 && v <= 0xFFFF)) {
      return unknown;
    }
    note(field, f.source(name));
    return (int) v;
  }

  @Nullable CaptureTime time() {
    CaptureTime t = time(0x9003, 0x9291, 0x9011, "DateTimeOriginal");
    return t != null ? t : time(0x9004, 0x9292, 0x9012, "DateTimeDigitized");
  }

  private @Nullable CaptureTime time(int tag, int fractionTag, int offsetTag, String name) {
    Found f = find(tag);
    String s = f == null ? null : f.value.text();
    if (f == null || s == null) {
      return null;
    }
    int[] part = date(s);
    if (part.length == 0) {
      file.problem("capture time as YYYY:MM:DD HH:MM:SS (" + name + ")", "\"" + brief(s) + "\"");
      return null;
    }
    LocalDateTime local;
    try {
      local = LocalDateTime.of(part[0], part[1], part[2], part[3], part[4], part[5]);
    } catch (DateTimeException e) {
      file.problem("a capture time that exists (" + name + ")", "\"" + brief(s) + "\"");
      return null;
    }
    String fraction = text(fractionTag);
    boolean subSecond =
        fraction != null && fraction.length() <= 9 && digits(fraction, 0, fraction.length());
    if (fraction != null && subSecond) {
      // Left-aligned digits: "130" is .130 s (Exif 2.2, p. 31).
      local = local.plusNanos(Long.parseLong((fraction + "000000000").substring(0, 9)));
    }
    note("time", f.source(name));
    return new CaptureTime(local, offset(offsetTag), subSecond);
  }

  /** Six numbers, or none where the text isn't a date and a time. */
  private static int[] date(String s) {
    if (s.length() < 19
        || ":-/".indexOf(s.charAt(4)) < 0
        || ":-/".indexOf(s.charAt(7)) < 0
        || " T".indexOf(s.charAt(10)) < 0
        || s.charAt(13) != ':'
        || s.charAt(16) != ':') {
      return new int[0];
    }
    int[] parts = new int[6];
    for (int i = 0; i < 6; i++) {
      int from = DATE_PARTS[2 * i];
      int to = DATE_PARTS[2 * i + 1];
      if (!digits(s, from, to)) {
        return new int[0];
      }
      parts[i] = Integer.parseInt(s, from, to, 10);
    }
    return parts;
  }

  private static boolean digits(String s, int from, int to) {
    for (int i = from; i < to; i++) {
      if (s.charAt(i) < '0' || s.charAt(i) > '9') {
        return false;
      }
    }
    return to > from;
  }

  private @Nullable ZoneOffset offset(int tag) {
    Found f = find(tag);
    String s = f == null ? null : f.value.text();
    if (f == null || s == null) {
      return null;
    }
    Matcher m = OFFSET.matcher(s);
    if (!m.matches()) {
      return null;
    }
    int minutes = Integer.parseInt(m.group(2)) * 60 + Integer.parseInt(m.group(3));
    if (minutes > 18 * 60) {
      return null;
    }
    note("offset", f.source("OffsetTime"));
    return ZoneOffset.ofTotalSeconds(("-".equals(m.group(1)) ? -60 : 60) * minutes);
  }

  CaptureSettings settings() {
    return new CaptureSettings(
        exposureTime(),
        fNumber(),
        iso(),
        bias(),
        code(0x8822, "program", "ExposureProgram", 0),
        code(0xA402, "mode", "ExposureMode", -1),
        code(0x9207, "metering", "MeteringMode", 0));
  }

  private @Nullable ExposureTime exposureTime() {
    Found f = find(0x829A);
    String name = "ExposureTime";
    double v = f == null ? Double.NaN : f.value.number();
    if (!(v >= 1e-6 && v <= 1e6)) {
      f = find(0x9201);
      name = "ShutterSpeedValue";
      v = f == null ? Double.NaN : Math.pow(2, -f.value.number());
    }
    if (f == null || !(v >= 1e-6 && v <= 1e6)) {
      return null;
    }
    note("exposureTime", f.source(name));
    return new ExposureTime(v);
  }

  private @Nullable FNumber fNumber() {
    Found f = find(0x829D);
    String name = "FNumber";
    double v = f == null ? Double.NaN : f.value.number();
    if (f == null || Double.isNaN(v)) {
      f = find(0x9202);
      name = "ApertureValue";
      // 0 means f/1 by APEX, yet it is what a lens without contacts gives.
      v = f == null || f.value.number() == 0 ? Double.NaN : Math.pow(2, f.value.number() / 2);
    }
    if (f == null || !(v >= 0.3 && v <= 1024)) {
      return null;
    }
    note("fNumber", f.source(name));
    return new FNumber(v);
  }

  /**
   * PhotographicSensitivity; where it is 65535, its greatest value, the LONG tag that
   * SensitivityType names (Exif 2.3, 4.6.5).
   */
  private @Nullable Iso iso() {
    Found f = find(0x8827);
    String name = "PhotographicSensitivity";
    double v = f == null ? Double.NaN : f.value.number();
    if (!(v > 0) || v == 65535) {
      double type = number(0x8830);
      int[] order =
          type == 1 || type == 5
              ? new int[] {0x8831, 0x8832, 0x8833}
              : type == 3 ? new int[] {0x8833, 0x8832, 0x8831} : new int[] {0x8832, 0x8831, 0x8833};
      for (int tag : order) {
        Found longer = find(tag);
        if (longer != null && longer.value.number() > 0) {
          f = longer;
          v = longer.value.number();
          name =
              tag == 0x8831
                  ? "StandardOutputSensitivity"
                  : tag == 0x8832 ? "RecommendedExposureIndex" : "ISOSpeed";
          break;
        }
      }
    }
    if (f == null || !(v >= 1 && v <= 1e8)) {
      return maker().iso();
    }
    note("iso", f.source(name));
    return new Iso(v);
  }

  private @Nullable Ev bias() {
    Found f = find(0x9204);
    double v = f == null ? Double.NaN : f.value.number();
    if (f == null || !(Math.abs(v) <= 20)) {
      return null;
    }
    note("bias", f.source("ExposureBiasValue"));
    return new Ev(v);
  }

  @Nullable Flash flash() {
    int bits = code(0x9209, "flash", "Flash", -1);
    return bits < 0 ? null : new Flash(bits);
  }

  WhiteBalance whiteBalance(String make) {
    int setting = code(0xA403, "whiteBalance", "WhiteBalance", -1);
    int light = code(0x9208, "lightSource", "LightSource", 0);
    StatedWhitePoint p = WhitePoints.read(file, make);
    // In automatic LightSource says what lit the scene, not which white point was used.
    if (p == null && setting != 0) {
      p = WhitePoints.lightSource(light);
    }
    if (p != null) {
      note("whitePoint", p.source());
    }
    return new WhiteBalance(
        setting == 0
            ? WhiteBalance.Setting.AUTO
            : setting == 1 ? WhiteBalance.Setting.PRESET : WhiteBalance.Setting.UNKNOWN,
        light,
        p == null ? WhitePoint.UNKNOWN : p.point());
  }

  int orientation() {
    if (file.orientation > 0) {
      note("orientation", "HEIF irot, imir");
      return file.orientation;
    }
    int o = code(0x0112, "orientation", "Orientation", 1);
    return o >= 1 && o <= 8 ? o : 1;
  }

  /** Make, model and serial, with an id that is good for this file alone. */
  BodyId body() {
    String make = clean(text(0x010F));
    String model = clean(text(0x0110));
    if (!make.isEmpty()) {
      note("make", "Make (0x010F)");
    }
    if (!model.isEmpty()) {
      note("model", "Model (0x0110)");
    }
    String serial = null;
    for (int tag : new int[] {0xA431, 0xC62F}) {
      Found f = find(tag);
      String s = f == null ? null : serial(f.value);
      if (f != null && s != null && serial == null) {
        serial = s;
        note("serial", f.source(tag == 0xA431 ? "BodySerialNumber" : "CameraSerialNumber"));
      }
    }
    if (serial == null) {
      serial = maker().serial();
    }
    return new BodyId("?", make, model, serial);
  }

  static @Nullable String serial(TagValue v) {
    String s = v.text();
    if (s == null) {
      double[] n = v.numbers();
      s = n.length == 1 && n[0] > 0 && n[0] < 1e15 ? Long.toString((long) n[0]) : "";
    }
    s = clean(s);
    // Makers fill the field with zeros where there is no number.
    return s.length() > 64 || blank(s) ? null : s;
  }

  private static boolean blank(String serial) {
    for (int i = 0; i < serial.length(); i++) {
      if ("0 .-".indexOf(serial.charAt(i)) < 0) {
        return false;
      }
    }
    return true;
  }

  Optics optics() {
    Found f = find(0xA434);
    String lens = f == null ? null : f.value.text();
    if (f != null && lens != null) {
      note("lens", f.source("LensModel"));
    } else {
      lens = maker().lens();
    }
    Found range = lens == null ? find(0xA432) : null;
    if (range != null) {
      lens = lensRange(range.value.numbers());
      if (lens != null) {
        note("lens", range.source("LensSpecification"));
      }
    }
    if (lens == null) {
      lens = maker().lensNumber();
    }
    Found focal = find(0x920A);
    double mm = focal == null ? Double.NaN : focal.value.number();
    Double millimetres = null;
    if (focal != null && mm > 0 && mm < 10_000) {
      millimetres = mm;
      note("focalLength", focal.source("FocalLength"));
    }
    return new Optics(lens == null ? null : clean(lens), millimetres);
  }

  /** Focal lengths and f-numbers of a lens as a name; null where unknown. */
  static @Nullable String lensRange(double[] v) {
    if (v.length != 4 || !(v[0] > 0 && v[1] > 0)) {
      return null;
    }
    String mm = number(v[0]) + (v[0] == v[1] ? "" : "-" + number(v[1])) + " mm";
    if (!(v[2] > 0 && v[3] > 0)) {
      return mm;
    }
    return mm + " f/" + number(v[2]) + (v[2] == v[3] ? "" : "-" + number(v[3]));
  }

  private static String number(double v) {
    double rounded = Math.round(v * 10) / 10.0;
    return rounded == Math.rint(rounded) ? Long.toString((long) rounded) : Double.toString(rounded);
  }

  /** Exif SubjectArea (0x9214): its centre within the picture, or an empty array. */
  double[] subjectArea(int width, int height) {
    Found f = find(0x9214);
    double[] v = f == null ? new double[0] : f.value.numbers();
    if (f == null || v.length < 2 || width <= 0 || height <= 0 || v[0] + v[1] <= 0) {
      return new double[0];
    }
    note("focus", f.source("SubjectArea"));
    return new double[] {v[0] / width, v[1] / height};
  }

  /** " (0x829A)"; String.format takes a hundred times as long. */
  static String hex(int tag) {
    return " (0x" + digits(tag) + ")";
  }

  /** Four hexadecimal digits. */
  static String digits(int tag) {
    char[] digits = new char[4];
    for (int i = 0; i < 4; i++) {
      digits[i] = HEX.charAt(tag >> (12 - 4 * i) & 15);
    }
    return new String(digits);
  }

  MakerFields maker() {
    return maker;
  }

  static String clean(@Nullable String s) {
    if (s == null) {
      return "";
    }
    StringBuilder b = new StringBuilder();
    for (int i = 0; i < s.length() && b.length() < 200; i++) {
      char c = s.charAt(i);
      if (c >= ' ' && c != 0x7F && c != 0xFFFD) {
        b.append(c);
      }
    }
    return b.toString().strip();
  }

  static String brief(String s) {
    String c = clean(s);
    return c.length() > 40 ? c.substring(0, 40) + "..." : c;
  }

  /** What is missing that later steps need. */
  static List<String> missing(CaptureSettings s) {
    List<String> m = new ArrayList<>();
    if (s.exposureTime() == null) {
      m.add("exposure time");
    }
    if (s.fNumber() == null) {
      m.add("f-number");
    }
    if (s.iso() == null) {
      m.add("ISO");
    }
    return m;
  }
}
