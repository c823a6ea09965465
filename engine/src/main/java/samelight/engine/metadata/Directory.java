package samelight.engine.metadata;

import java.util.Arrays;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;

/** One image file directory (TIFF 6.0): those of its tags that are asked for, and their values. */
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
    /** Entered only to pass through, or for a few numbers. */
    OTHER;

    /** Whether it tells of a picture, in tags of TIFF, Exif and DNG. */
    boolean ofPicture() {
      return this == MAIN || this == SUB || this == EXIF;
    }
  }

  private final Kind kind;
  private final int index;
  private final BitSet wanted;
  // A few dozen at most: shorter to walk through than a map.
  private int[] tags = new int[16];
  private TagValue[] values = new TagValue[16];
  private int count;
  private @Nullable String name;
  private boolean entries;
  private boolean bigEndian;

  /**
   * Makes an empty directory.
   *
   * @param index number in the chain (MAIN), running number (SUB) or the tag that points to it
   */
  Directory(Kind kind, int index) {
    this.kind = kind;
    this.index = index;
    this.wanted = WantedTags.of(kind);
  }

  Kind kind() {
    return kind;
  }

  int index() {
    return index;
  }

  /** Whether a tag's value is kept: nobody may ask for any other. */
  boolean wants(int tag) {
    return wanted.get(tag);
  }

  /** Whether there was any entry, kept or passed over. */
  boolean hasEntries() {
    return entries;
  }

  /** Notes an entry that is passed over. */
  void pass() {
    entries = true;
  }

  /** Takes a value; of two entries of one tag the first stays. */
  void put(int tag, TagValue value, boolean big) {
    entries = true;
    bigEndian = big;
    if (place(tag) >= 0) {
      return;
    }
    if (count == tags.length) {
      tags = Arrays.copyOf(tags, 2 * count);
      values = Arrays.copyOf(values, 2 * count);
    }
    tags[count] = tag;
    values[count++] = value;
  }

  private int place(int tag) {
    for (int i = 0; i < count; i++) {
      if (tags[i] == tag) {
        return i;
      }
    }
    return -1;
  }

  /** The byte order in which the values stand in the file. */
  boolean bigEndian() {
    return bigEndian;
  }

  /** The value of a tag that is wanted in directories of this kind. */
  @Nullable TagValue get(int tag) {
    assert wants(tag) : "tag " + FrameFields.hex(tag) + " isn't wanted in " + name();
    int i = place(tag);
    return i < 0 ? null : values[i];
  }

  /** The first number of a tag, or NaN. */
  double number(int tag) {
    TagValue v = get(tag);
    return v == null ? Double.NaN : v.number();
  }

  /** The numbers of a tag, or an empty array. */
  double[] numbers(int tag) {
    TagValue v = get(tag);
    return v == null ? new double[0] : v.numbers();
  }

  @Nullable String text(int tag) {
    TagValue v = get(tag);
    return v == null ? null : v.text();
  }

  /** How provenance calls this directory. */
  String name() {
    String n = name;
    if (n == null) {
      n = makeName();
      name = n;
    }
    return n;
  }

  private String makeName() {
    return switch (kind) {
      case MAIN -> "IFD" + index;
      case SUB -> "SubIFD" + index;
      case EXIF -> "Exif";
      case MAKER -> "maker's notes";
      case MAKER_SUB -> "maker's notes 0x" + FrameFields.digits(index);
      case OTHER -> "directory";
    };
  }
}
