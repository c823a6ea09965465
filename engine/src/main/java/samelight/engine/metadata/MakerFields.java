package samelight.engine.metadata;

import java.util.Locale;
import org.jspecify.annotations.Nullable;
import samelight.engine.quantity.Iso;

/** Fields that some bodies give in the maker's notes only; tags as ExifTool documents them. */
final class MakerFields {
  private MakerFields() {}

  static @Nullable Iso iso(Collected file, FrameFields fields) {
    Directory maker = file.maker();
    if (maker == null) {
      return null;
    }
    return null;
  }

  static @Nullable String serial(Collected file, String make, FrameFields fields) {
    Directory maker = file.maker();
    if (maker == null) {
      return null;
    }
    String m = make.toUpperCase(Locale.ROOT);
    int[] tags =
        m.startsWith("CANON")
            ? new int[] {0x000C}
            : m.startsWith("NIKON")
                ? new int[] {0x001D, 0x00A0}
                : m.startsWith("PENTAX") || m.startsWith("RICOH") ? new int[] {0x0229} : new int[0];
    for (int tag : tags) {
      TagValue v = maker.get(tag);
      String s = v == null ? null : FrameFields.serial(v);
      if (s != null) {
        fields.note("serial", String.format("maker's notes SerialNumber (0x%04X)", tag));
        return s;
      }
    }
    Directory equipment = file.makerSub(MakerNotes.OLYMPUS_EQUIPMENT);
    TagValue v = equipment == null ? null : equipment.get(0x0101);
    String s = v == null ? null : FrameFields.serial(v);
    if (s != null) {
      fields.note("serial", "Olympus SerialNumber (0x2010/0x0101)");
    }
    return s;
  }

  static @Nullable String lens(Collected file, FrameFields fields) {
    Directory maker = file.maker();
    TagValue v = maker == null ? null : maker.get(0x0095);
    String s = v == null ? null : v.text();
    if (s != null) {
      fields.note("lens", "Canon LensModel (0x0095)");
    }
    return s;
  }
}
