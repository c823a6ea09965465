package samelight.engine.metadata;

import java.util.Locale;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Marks;
import samelight.engine.quantity.Iso;

/**
 * Fields that some bodies give in the maker's notes only. Which tag holds what is as ExifTool's tag
 * tables document it.
 */
final class MakerFields {
  private static final int NIKON_ISO = 0x0002;
  private static final int CANON_SHOT_INFO = 0x0004;
  private static final int NIKON_TONE = 0x0022;
  private static final int CANON_FOCUS = 0x0026;
  private static final int PANASONIC_SEQUENCE = 0x002B;
  private static final int PANASONIC_FOCUS = 0x004D;
  private static final int PANASONIC_LENS = 0x0051;
  private static final int PANASONIC_TONE = 0x0079;
  private static final int NIKON_LENS = 0x0084;
  private static final int CANON_LENS = 0x0095;
  private static final int OLYMPUS_LENS = 0x0203;
  private static final int FUJIFILM_FOCUS = 0x1023;
  private static final int FUJIFILM_SEQUENCE = 0x1101;
  private static final int FUJIFILM_RANGE = 0x1403;
  private static final int FUJIFILM_AUTO_RANGE = 0x140B;
  private static final int SONY_FOCUS = 0x2027;
  private static final int CANON_LIGHTING = 0x4018;
  private static final int SONY_TONE = 0xB025;
  private static final int SONY_SEQUENCE = 0xB04A;

  /** Tags of makers' notes that are of use here, for white points, or for what lies inside. */
  static final int[] WANTED = {
    NIKON_ISO,
    CANON_SHOT_INFO,
    MakerSerial.CANON,
    MakerSerial.FUJIFILM,
    MakerSerial.NIKON,
    NIKON_TONE,
    MakerSerial.PANASONIC,
    CANON_FOCUS,
    PANASONIC_SEQUENCE,
    PANASONIC_FOCUS,
    PANASONIC_LENS,
    PANASONIC_TONE,
    NIKON_LENS,
    CANON_LENS,
    MakerSerial.NIKON_2,
    MakerSerial.OLYMPUS_EQUIPMENT,
    OLYMPUS_LENS,
    MakerSerial.OLYMPUS,
    LensNumber.PENTAX,
    MakerSerial.PENTAX_INFO,
    MakerSerial.PENTAX,
    FUJIFILM_FOCUS,
    FUJIFILM_SEQUENCE,
    FUJIFILM_RANGE,
    FUJIFILM_AUTO_RANGE,
    SONY_FOCUS,
    CANON_LIGHTING,
    MakerSerial.SAMSUNG,
    LensNumber.SAMSUNG,
    SONY_TONE,
    SONY_SEQUENCE,
    // White points, see the classes of the makers.
    0x0097,
    0x0100,
    0x011F,
    0x0201,
    0x0501,
    0x1005,
    0x1017,
    0x1018,
    0x4001,
    0x8004,
    0x8005,
    0x8006,
    SamsungWhitePoint.KEY,
    SamsungWhitePoint.LEVELS,
    SamsungWhitePoint.BLACK,
    0xB021,
    // Sub-directories and previews.
    0x0003,
    0x0011,
    0x0088,
    0x0089,
    0x0102,
    0x0202,
    0x1036,
    0x1037,
    MakerNotes.OLYMPUS_EQUIPMENT,
    MakerNotes.OLYMPUS_SETTINGS,
    MakerNotes.OLYMPUS_IMAGE
  };

  private final Collected file;
  private final FrameFields fields;
  private final @Nullable Directory maker;
  private final String make;

  MakerFields(Collected file, String make, FrameFields fields) {
    this.file = file;
    this.fields = fields;
    this.maker = file.maker();
    this.make = make.toUpperCase(Locale.ROOT);
  }

  private boolean by(String maker) {
    return make.startsWith(maker);
  }

  private double number(int tag) {
    return maker == null ? Double.NaN : maker.number(tag);
  }

  private double[] numbers(int tag) {
    return maker == null ? new double[0] : maker.numbers(tag);
  }

  private void note(String field, String name, int tag) {
    fields.note(field, "maker's notes " + name + FrameFields.hex(tag));
  }

  @Nullable Iso iso() {
    double iso = 0;
    if (by("NIKON")) {
      double[] v = numbers(NIKON_ISO);
      iso = v.length == 2 ? v[1] : 0;
      if (iso > 0) {
        note("iso", "ISO", NIKON_ISO);
      }
    } else if (by("CANON")) {
      // Both are 1/32 of a stop: the base above ISO 100/32, what automatic adds above ISO 100.
      double[] v = signed(numbers(CANON_SHOT_INFO));
      if (v.length > 2 && v[2] > 0) {
        iso = Math.round(100 / 32.0 * Math.pow(2, (v[1] + v[2]) / 32));
        note("iso", "ShotInfo base and automatic ISO", CANON_SHOT_INFO);
      }
    }
    return iso >= 1 && iso <= 1e8 ? new Iso(iso) : null;
  }

  @Nullable String serial() {
    return noted("serial", MakerSerial.read(file, make));
  }

  @Nullable String lens() {
    Directory equipment = file.makerSub(MakerNotes.OLYMPUS_EQUIPMENT);
    if (equipment != null) {
      return lens(equipment.text(OLYMPUS_LENS), "Equipment LensModel", OLYMPUS_LENS);
    }
    if (maker == null) {
      return null;
    }
    if (by("CANON")) {
      return lens(maker.text(CANON_LENS), "LensModel", CANON_LENS);
    }
    if (by("PANASONIC")) {
      return lens(maker.text(PANASONIC_LENS), "LensType", PANASONIC_LENS);
    }
    return by("NIKON")
        ? lens(FrameFields.lensRange(maker.numbers(NIKON_LENS)), "Lens", NIKON_LENS)
        : null;
  }

  /** A label made of the maker's number of the lens, or null. */
  @Nullable String lensNumber() {
    return noted("lens", LensNumber.read(file, make));
  }

  private @Nullable String noted(String field, @Nullable NoteText text) {
    if (text == null) {
      return null;
    }
    note(field, text.name(), text.tag());
    return text.text();
  }

  private @Nullable String lens(@Nullable String name, String tagName, int tag) {
    String s = FrameFields.clean(name);
    if (s.isEmpty()) {
      return null;
    }
    note("lens", tagName, tag);
    return s;
  }

  /** Adds the sequence number and the focus point to rating and label. */
  Marks marks(@Nullable Double rating, @Nullable String label, int width, int height) {
    double[] at = focus(width, height);
    boolean known = at.length == 2 && in(at[0]) && in(at[1]);
    return new Marks(
        rating, label, sequence(), known ? (Double) at[0] : null, known ? (Double) at[1] : null);
  }

  private static boolean in(double v) {
    return v >= 0 && v <= 1;
  }

  private @Nullable Integer sequence() {
    double v = Double.NaN;
    int tag = 0;
    if (by("CANON")) {
      tag = CANON_SHOT_INFO;
      double[] info = numbers(tag);
      v = info.length > 9 ? info[9] : Double.NaN;
    } else if (by("PANASONIC")) {
      tag = PANASONIC_SEQUENCE;
      v = number(tag);
    } else if (by("FUJIFILM")) {
      tag = FUJIFILM_SEQUENCE;
      v = number(tag);
    } else if (by("SONY")) {
      tag = SONY_SEQUENCE;
      v = number(tag);
    }
    if (!(v >= 0 && v < 65535)) {
      return null;
    }
    note("sequence", "SequenceNumber", tag);
    return (int) v;
  }

  private double[] focus(int width, int height) {
    double[] v;
    if (by("CANON")) {
      return canonFocus(signed(numbers(CANON_FOCUS)));
    }
    if (by("SONY")) {
      v = numbers(SONY_FOCUS);
      if (v.length == 4 && v[0] > 0 && v[1] > 0 && v[2] + v[3] > 0) {
        note("focus", "FocusLocation", SONY_FOCUS);
        return new double[] {v[2] / v[0], v[3] / v[1]};
      }
    }
    if (by("PANASONIC")) {
      v = numbers(PANASONIC_FOCUS);
      if (v.length == 2) {
        note("focus", "AFPointPosition", PANASONIC_FOCUS);
        return v;
      }
    }
    if (by("FUJIFILM") && width > 0 && height > 0) {
      v = numbers(FUJIFILM_FOCUS);
      if (v.length == 2 && v[0] + v[1] > 0) {
        note("focus", "FocusPixel", FUJIFILM_FOCUS);
        return new double[] {v[0] / width, v[1] / height};
      }
    }
    return fields.subjectArea(width, height);
  }

  /** Mean of the points in focus; coordinates count from the centre, upwards on EOS bodies. */
  private double[] canonFocus(double[] v) {
    int n = v.length > 8 ? (int) v[2] : 0;
    if (n < 1 || n > 2000 || v.length < 8 + 4 * n + (n + 15) / 16 || !(v[6] > 0 && v[7] > 0)) {
      return new double[0];
    }
    Directory main = file.main();
    String model = main == null ? null : main.text(0x0110);
    if (model == null || !model.contains("EOS")) {
      return new double[0];
    }
    double[] sums = canonInFocus(v, n);
    double count = sums[2];
    if (count == 0) {
      return new double[0];
    }
    note("focus", "AFInfo points in focus", CANON_FOCUS);
    return new double[] {0.5 + sums[0] / count / v[6], 0.5 - sums[1] / count / v[7]};
  }

  /** Of the points in focus the sums of their coordinates, and how many there are. */
  private static double[] canonInFocus(double[] v, int n) {
    double[] sums = new double[3];
    for (int i = 0; i < n; i++) {
      if (((int) v[8 + 4 * n + i / 16] >> (i % 16) & 1) != 0) {
        sums[0] += v[8 + 2 * n + i];
        sums[1] += v[8 + 3 * n + i];
        sums[2]++;
      }
    }
    return sums;
  }

  /** A mode that brightens the rendering, in our words; null where none is said. */
  @Nullable String brightening() {
    if (by("CANON")) {
      double[] v = numbers(CANON_LIGHTING);
      if (v.length > 3 && (v[3] == 1 || v[3] == 2)) {
        note("brightening", "LightingOpt", CANON_LIGHTING);
        return "highlight priority";
      }
      return v.length > 2 ? tone(v[2] >= 0 && v[2] <= 2, CANON_LIGHTING) : null;
    }
    if (by("NIKON")) {
      return tone(number(NIKON_TONE) > 0, NIKON_TONE);
    }
    if (by("SONY")) {
      return tone(number(SONY_TONE) > 0, SONY_TONE);
    }
    if (by("PANASONIC")) {
      return tone(number(PANASONIC_TONE) > 0, PANASONIC_TONE);
    }
    if (by("FUJIFILM")) {
      int tag = number(FUJIFILM_AUTO_RANGE) > 100 ? FUJIFILM_AUTO_RANGE : FUJIFILM_RANGE;
      double range = number(tag);
      if (range > 100 && range <= 1600) {
        note("brightening", "DynamicRange", tag);
        return "extended range " + (int) range + " %";
      }
    }
    return null;
  }

  private @Nullable String tone(boolean on, int tag) {
    if (!on) {
      return null;
    }
    note("brightening", "tone adaptation", tag);
    return "automatic tone";
  }

  private static double[] signed(double[] words) {
    double[] s = new double[words.length];
    for (int i = 0; i < s.length; i++) {
      s[i] = (short) (int) words[i];
    }
    return s;
  }
}
