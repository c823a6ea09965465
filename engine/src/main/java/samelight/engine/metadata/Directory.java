package samelight.engine.metadata;

import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** One image file directory (TIFF 6.0): tags and their values. */
final class Directory {
  /** What a directory is for. */
  enum Kind {
    /** The main chain: IFD0, IFD1, ... */
    MAIN,
    /** Children of tag 0x014A. */
    SUB,
    /** Exif. */
    EXIF,
    /** A maker's notes. */
    MAKER,
    /** A directory inside a maker's notes. */
    MAKER_SUB,
    /** Entered only to pass through, or of no interest. */
    OTHER
  }

  private final Kind kind;
  private final int index;
  private final Map<Integer, TagValue> tags = new HashMap<>();
  private boolean bigEndian;

  /**
   * Makes an empty directory.
   *
   * @param index number in the chain (MAIN), running number (SUB) or the tag that points to it
   */
  Directory(Kind kind, int index) {
    this.kind = kind;
    this.index = index;
  }

  Kind kind() {
    return kind;
  }

  int index() {
    return index;
  }

  Map<Integer, TagValue> tags() {
    return tags;
  }

  /** Takes a value; of two entries of one tag the first stays. */
  void put(int tag, TagValue value, boolean big) {
    tags.putIfAbsent(tag, value);
    bigEndian = big;
  }

  /** The byte order in which the values stand in the file. */
  boolean bigEndian() {
    return bigEndian;
  }

  @Nullable TagValue get(int tag) {
    return tags.get(tag);
  }

  /** The first number of a tag, or NaN. */
  double number(int tag) {
    TagValue v = tags.get(tag);
    return v == null ? Double.NaN : v.number();
  }

  /** The numbers of a tag, or an empty array. */
  double[] numbers(int tag) {
    TagValue v = tags.get(tag);
    return v == null ? new double[0] : v.numbers();
  }

  @Nullable String text(int tag) {
    TagValue v = tags.get(tag);
    return v == null ? null : v.text();
  }

  /** How provenance calls this directory. */
  String name() {
    return switch (kind) {
      case MAIN -> "IFD" + index;
      case SUB -> "SubIFD" + index;
      case EXIF -> "Exif";
      case MAKER -> "maker's notes";
      case MAKER_SUB -> "maker's notes 0x" + String.format("%04X", index);
      case OTHER -> "directory";
    };
  }
}
