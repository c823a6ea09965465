package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;

/**
 * JPEGs that the makers' notes of raw files hold or tell of; the tags are those that ExifTool's tag
 * documentation lists for Olympus and Pentax. Raws of Olympus and OM have no other picture.
 *
 * <p>What doesn't lie within the file is passed over without a finding: places in notes go stale
 * when a program moves them. What lies there and isn't a JPEG {@link JpegHeader} tells.
 */
final class NotePictures {
  /** Olympus: the thumbnail itself. */
  private static final int OLYMPUS_THUMBNAIL = 0x0100;

  /** Olympus: start and length of previews, in the notes and in CameraSettings. */
  private static final int[] OLYMPUS_PREVIEW = {0x0088, 0x0089};

  private static final int[] OLYMPUS_PREVIEW_2 = {0x1036, 0x1037};
  private static final int[] OLYMPUS_SETTINGS_PREVIEW = {0x0101, 0x0102};

  /** Pentax: start and length of the preview. */
  private static final int[] PENTAX_PREVIEW = {0x0004, 0x0003};

  private NotePictures() {}

  /**
   * Adds those of Olympus and OM.
   *
   * @param notes whose index 0 is where the notes count places from
   */
  static void olympus(SourceReader notes, Collected into) {
    Directory maker = into.maker();
    TagValue thumbnail = maker == null ? null : maker.get(OLYMPUS_THUMBNAIL);
    if (thumbnail != null) {
      add(notes.source(), (double) thumbnail.offset(), thumbnail.bytes(), into);
    }
    add(notes, into.makerSub(MakerNotes.OLYMPUS_SETTINGS), OLYMPUS_SETTINGS_PREVIEW, into);
    add(notes, maker, OLYMPUS_PREVIEW, into);
    add(notes, maker, OLYMPUS_PREVIEW_2, into);
  }

  /**
   * Adds that of Pentax.
   *
   * @param notes whose index 0 is where the notes count places from
   */
  static void pentax(SourceReader notes, Collected into) {
    add(notes, into.maker(), PENTAX_PREVIEW, into);
  }

  private static void add(SourceReader notes, @Nullable Directory d, int[] tags, Collected into) {
    if (d != null) {
      add(notes.source(), notes.base() + d.number(tags[0]), d.number(tags[1]), into);
    }
  }

  private static void add(ByteSource source, double start, double bytes, Collected into) {
    if (start + bytes <= source.length()) {
      TiffFile.jpeg(source, 0, start, bytes, into);
    }
  }
}
