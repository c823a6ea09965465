package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;

/**
 * A label for a lens of which only the maker's number is known, such as "lens 7/238" of Pentax and
 * "lens 2" of Samsung: it tells the lenses of a shoot apart, unless two share a number, as lenses
 * of other makers do. Tags and numbers are as ExifTool's tag documentation lists them.
 */
final class LensNumber {
  static final int PENTAX = 0x003F;
  static final int SAMSUNG = 0xA003;

  private LensNumber() {}

  /**
   * Makes the label.
   *
   * @param make of the body, in capitals
   * @return null where there is no number, or one that names no single kind of lens
   */
  static @Nullable NoteText read(Collected file, String make) {
    Directory maker = file.maker();
    if (maker == null) {
      return null;
    }
    if (file.pentaxNotes) {
      double[] v = maker.numbers(PENTAX);
      return v.length >= 2 && v.length <= 4 && oneLens((int) v[0], (int) v[1])
          ? label((int) v[0] + "/" + (int) v[1], PENTAX)
          : null;
    }
    boolean samsung = make.startsWith("SAMSUNG") && SamsungWhitePoint.keyed(maker);
    double number = samsung ? maker.number(SAMSUNG) : 0;
    return number > 0 ? label(Integer.toString((int) number), SAMSUNG) : null;
  }

  private static NoteText label(String number, int tag) {
    return new NoteText("lens " + number, "LensType", tag);
  }

  /** Of series 0 to 3, 9, 10 and 21 number 0 stands for lenses without one, 255 for several. */
  private static boolean oneLens(int series, int number) {
    boolean unnumbered = series <= 3 || series == 9 || series == 10 || series == 21;
    return number != 255 && !(number == 0 && unnumbered);
  }
}
