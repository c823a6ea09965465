package samelight.engine.metadata;

import java.io.IOException;
import samelight.engine.frame.EmbeddedJpeg;

/** Previews that follow a JPEG's picture: Multi-Picture Format (CIPA DC-007-2009, 5.2). */
final class MultiPicture {
  private static final int ENTRIES = 0xB002;

  private MultiPicture() {}

  /** Adds the pictures after the first; offsets count from the segment's TIFF header. */
  static void read(ByteSource source, long base, int size, Collected into) throws IOException {
    SourceReader reader = new SourceReader(source, base, size);
    TagCollector tags = TagCollector.tiff(reader, new Directory(Directory.Kind.OTHER, 0));
    for (Directory d : tags.directories()) {
      TagValue entries = d.get(ENTRIES);
      if (entries == null) {
        continue;
      }
      int count = Math.min(16, entries.bytes() / 16);
      for (int i = 1; i < count; i++) {
        int at = (int) (entries.offset() - base) + i * 16;
        long length = reader.getUInt32(at + 4);
        long offset = base + reader.getUInt32(at + 8);
        if (length > 0 && offset > base && offset + length <= source.length()) {
          into.previews.add(new EmbeddedJpeg(offset, length, 0, 0));
        }
      }
    }
  }
}
