package samelight.samples.file;

import java.nio.charset.StandardCharsets;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** The tags of Exif 2.32 (CIPA DC-008) that every frame carries, in JPEG and DNG alike. */
final class ExifBlock {

  private static final DateTimeFormatter EXIF_TIME =
      DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss", Locale.ROOT);

  private static final DateTimeFormatter FRACTION =
      DateTimeFormatter.ofPattern("SSSSSSSSS", Locale.ROOT);

  private ExifBlock() {}

  /** Tags of the first directory, less those of the picture itself. */
  static Ifd first(FrameTags t) {
    return new Ifd()
        .ascii(0x010F, t.maker())
        .ascii(0x0110, t.model())
        .shorts(0x0112, t.orientation())
        .ascii(0x0131, "samelight samples")
        .ascii(0x0132, EXIF_TIME.format(t.taken()));
  }

  /** The Exif directory. */
  static Ifd exif(FrameTags t) {
    String time = EXIF_TIME.format(t.taken());
    String fraction = FRACTION.format(t.taken()).substring(0, t.subSecondDigits());
    Ifd exif =
        new Ifd()
            .rationals(0x829A, fraction(t.time()))
            .rationals(0x829D, decimal(t.fNumber()))
            .shorts(0x8822, t.program())
            .shorts(0x8827, t.iso())
            .shorts(0x8830, 2)
            .undefined(0x9000, "0232".getBytes(StandardCharsets.US_ASCII))
            .ascii(0x9003, time)
            .ascii(0x9004, time)
            .signedRationals(0x9204, bias(t.biasSixths()))
            .shorts(0x9207, t.metering())
            .shorts(0x9208, t.lightSource())
            .shorts(0x9209, t.flash())
            .rationals(0x920A, t.focalMillimetres(), 1)
            .ascii(0x9290, fraction)
            .ascii(0x9291, fraction)
            .ascii(0x9292, fraction)
            .shorts(0xA402, t.exposureMode())
            .shorts(0xA403, t.whiteBalance())
            .ascii(0xA431, t.serial())
            .ascii(0xA434, t.lens());
    if (t.utcOffset() != null) {
      exif.ascii(0x9010, t.utcOffset()).ascii(0x9011, t.utcOffset());
    }
    return exif;
  }

  private static int[] fraction(String mark) {
    int slash = mark.indexOf('/');
    return slash < 0
        ? decimal(mark)
        : new int[] {
          Integer.parseInt(mark.substring(0, slash)), Integer.parseInt(mark.substring(slash + 1))
        };
  }

  private static int[] decimal(String mark) {
    return mark.indexOf('.') < 0
        ? new int[] {Integer.parseInt(mark), 1}
        : new int[] {Integer.parseInt(mark.replace(".", "")), 10};
  }

  private static int[] bias(int sixths) {
    if (sixths % 6 == 0) {
      return new int[] {sixths / 6, 1};
    }
    return sixths % 2 == 0 ? new int[] {sixths / 2, 3} : new int[] {sixths, 6};
  }
}
