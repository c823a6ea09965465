package samelight.engine.metadata;

import java.io.IOException;
import org.jspecify.annotations.Nullable;

/**
 * JPEGs that the makers' notes of raw files hold or tell of; the tags are those that ExifTool's tag
 * documentation lists for Olympus and Pentax. Raws of Olympus and OM have no other picture.
 *
 * <p>What doesn't lie within the file and start as a JPEG is passed over without a finding: places
 * in notes go stale when a program moves them.
 */
final class NotePictures {
  /** Olympus: the thumbnail itself. */
  static final int OLYMPUS_THUMBNAIL = 0x0100;

  /** Olympus: start and length of previews, in the notes and in CameraSettings. */
  static final int[] OLYMPUS_PREVIEW = {0x0088, 0x0089};

  static final int[] OLYMPUS_PREVIEW_2 = {0x1036, 0x1037};
  static final int[] OLYMPUS_SETTINGS_PREVIEW = {0x0101, 0x0102};

  /** Pentax: start and length of the preview. */
  static final int[] PENTAX_PREVIEW = {0x0004, 0x0003};

  private NotePictures() {}

  /**
   * Adds those of Olympus and OM.
   *
   * @param notes whose index 0 is where the notes count places from
   */
  static void olympus(SourceReader notes, Collected into) throws IOException {
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
  static void pentax(SourceReader notes, Collected into) throws IOException {
    add(notes, into.maker(), PENTAX_PREVIEW, into);
  }

  private static void add(SourceReader notes, @Nullable Directory d, int[] tags, Collected into)
      throws IOException {
    double start = d == null ? Double.NaN : d.number(tags[0]);
    double bytes = d == null ? Double.NaN : d.number(tags[1]);
    if (start > 0 && bytes > 0) {
      add(notes.source(), notes.base() + start, bytes, into);
    }
  }

  private static void add(ByteSource source, double start, double bytes, Collected into)
      throws IOException {
    if (bytes > 4
        && start > 0
        && start + bytes <= source.length()
        && isJpeg(source, (long) start)) {
      TiffFile.jpeg(source, 0, start, bytes, into);
    }
  }

  /** Start of image (ITU-T T.81, B.1.1.3). */
  private static boolean isJpeg(ByteSource source, long at) throws IOException {
    return source.u8(at) == 0xFF && source.u8(at + 1) == 0xD8;
  }
}
