package samelight.engine.metadata;

import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * A body's serial number in its maker's notes. Which tag holds it is as ExifTool's tag tables
 * document it.
 */
final class MakerSerial {
  static final int CANON = 0x000C;
  static final int FUJIFILM = 0x0010;
  static final int NIKON = 0x001D;
  static final int PANASONIC = 0x0025;
  static final int NIKON_2 = 0x00A0;
  static final int OLYMPUS_EQUIPMENT = 0x0101;
  static final int PENTAX_INFO = 0x0215;
  static final int PENTAX = 0x0229;
  static final int OLYMPUS = 0x0404;
  static final int SAMSUNG = 0xA002;

  /** Bytes of Samsung's info that aren't a number of five characters or more are filling. */
  private static final Pattern SAMSUNG_NUMBER = Pattern.compile("\\w{5}");

  private MakerSerial() {}

  /**
   * Looks for it.
   *
   * @param make of the body, in capitals
   */
  static @Nullable NoteText read(Collected file, String make) {
    Directory maker = file.maker();
    if (maker == null) {
      return null;
    }
    for (int tag : tags(file, maker, make)) {
      NoteText t = text(maker, "SerialNumber", tag);
      if (t != null) {
        return t;
      }
    }
    if (file.pentaxNotes) {
      return pentaxInternal(maker);
    }
    Directory equipment = file.makerSub(MakerNotes.OLYMPUS_EQUIPMENT);
    return equipment == null ? null : text(equipment, "Equipment SerialNumber", OLYMPUS_EQUIPMENT);
  }

  private static int[] tags(Collected file, Directory maker, String make) {
    if (file.pentaxNotes) {
      return new int[] {PENTAX};
    }
    if (make.startsWith("CANON")) {
      return new int[] {CANON};
    }
    if (make.startsWith("NIKON")) {
      return new int[] {NIKON, NIKON_2};
    }
    if (make.startsWith("FUJIFILM")) {
      return new int[] {FUJIFILM};
    }
    if (make.startsWith("PANASONIC")) {
      return new int[] {PANASONIC};
    }
    if (make.startsWith("OLYMPUS")) {
      return new int[] {OLYMPUS};
    }
    return make.startsWith("SAMSUNG") && samsungNumbered(maker) ? new int[] {SAMSUNG} : new int[0];
  }

  private static @Nullable NoteText text(Directory d, String name, int tag) {
    TagValue v = d.get(tag);
    String s = v == null ? null : FrameFields.serial(v);
    return s == null ? null : new NoteText(s, name, tag);
  }

  private static boolean samsungNumbered(Directory maker) {
    String s = SamsungWhitePoint.keyed(maker) ? maker.text(SAMSUNG) : null;
    return s != null && SAMSUNG_NUMBER.matcher(s).lookingAt();
  }

  /** The last of five LONGs. */
  private static @Nullable NoteText pentaxInternal(Directory maker) {
    TagValue v = maker.get(PENTAX_INFO);
    double[] info = v == null || v.bytes() != 20 ? new double[0] : v.numbers();
    return info.length == 5 && info[4] > 0
        ? new NoteText(
            Long.toString((long) info[4]), "CameraInfo InternalSerialNumber", PENTAX_INFO)
        : null;
  }
}
