package samelight.engine.metadata;

import java.util.BitSet;

/**
 * The tags that some class here asks for, by kind of directory. The values of all others are passed
 * over before they are made: a raw file has hundreds. {@link Directory#get} refuses, where
 * assertions are on, to be asked for what doesn't stand here.
 */
final class WantedTags {
  /** TIFF 6.0, Exif 2.32, DNG, and what makers put beside them: IFD0, SubIFDs, Exif. */
  static final BitSet PICTURE =
      set(
          // Pictures: their kind, size, coding and place.
          0x00FE,
          0x0100,
          0x0101,
          0x0102,
          0x0103,
          0x0106,
          0x0111,
          0x0115,
          0x0117,
          0x0144,
          0x0145,
          0x0201,
          0x0202,
          0xA002,
          0xA003,
          0xC620,
          // Panasonic's raw files: the JPEG inside, levels of white balance.
          0x002E,
          0x0024,
          0x0025,
          0x0026,
          // What lies inside: XMP, notes, private data.
          TagCollector.XMP,
          TagCollector.MAKER_NOTE,
          TagCollector.DNG_PRIVATE,
          // Body and lens.
          0x010F,
          0x0110,
          0x0112,
          0x920A,
          0xA431,
          0xA432,
          0xA434,
          0xC62F,
          // Time: as taken, as digitised; fractions, offsets.
          0x9003,
          0x9004,
          0x9011,
          0x9012,
          0x9291,
          0x9292,
          // Exposure.
          0x829A,
          0x829D,
          0x8822,
          0x8827,
          0x8830,
          0x8831,
          0x8832,
          0x8833,
          0x9201,
          0x9202,
          0x9204,
          0x9207,
          0x9208,
          0x9209,
          0x9214,
          0xA402,
          0xA403,
          // White point: DNG's, Sony's.
          0xC621,
          0xC622,
          0xC623,
          0xC624,
          0xC627,
          0xC628,
          0xC629,
          0xC65A,
          0xC65B,
          0xC6F3,
          0xC6F4,
          0x7303,
          0x7313);

  /** Makers' notes. */
  static final BitSet NOTES = set(MakerFields.WANTED);

  /** Sony's private data, Fujifilm's levels, the list of a Multi-Picture file. */
  static final BitSet OTHER = set(0x7200, 0x7201, 0x7221, 0xF00E, 0xB002);

  private WantedTags() {}

  /** Those of a kind of directory. */
  static BitSet of(Directory.Kind kind) {
    return switch (kind) {
      case MAIN, SUB, EXIF -> PICTURE;
      case MAKER, MAKER_SUB -> NOTES;
      case OTHER -> OTHER;
    };
  }

  private static BitSet set(int... tags) {
    BitSet b = new BitSet(1 << 16);
    for (int tag : tags) {
      b.set(tag);
    }
    return b;
  }
}
