package samelight.engine.metadata;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import samelight.engine.hevc.Streams;

/**
 * Builds HEIF files with thumbnails in HEVC ([HEIF], [ISOBMFF]): a primary item in tiles (item 1,
 * whose tiles are left out), and thumbnails from the committed streams.
 */
final class HeifFiles {
  private static final int PRIMARY = 1;

  @SuppressWarnings("ArrayRecordComponent") // handed on once, never compared
  private record Item(int id, String type, byte[] data, List<Integer> properties) {}

  private final List<Item> items = new ArrayList<>();
  private final List<byte[]> properties = new ArrayList<>();
  private final ByteArrayOutputStream references = new ByteArrayOutputStream();
  private String ofThumbnails = "thmb";

  /** A file whose picture is of a size, turned by so many quarters to the left. */
  HeifFiles(int width, int height, int quarters) {
    List<Integer> own = new ArrayList<>(List.of(property("ispe", size(width, height))));
    if (quarters > 0) {
      own.add(property("irot", new byte[] {(byte) quarters}));
    }
    items.add(new Item(PRIMARY, "grid", new byte[8], own));
  }

  static byte[] size(int width, int height) {
    return ByteBuffer.allocate(12).putInt(0).putInt(width).putInt(height).array();
  }

  /** Content of a colr box. */
  static byte[] nclx(int primaries, int transfer, int matrix, boolean full) {
    ByteBuffer b = ByteBuffer.allocate(11);
    b.put("nclx".getBytes(StandardCharsets.US_ASCII));
    b.putShort((short) primaries).putShort((short) transfer).putShort((short) matrix);
    return b.put((byte) (full ? 0x80 : 0)).array();
  }

  private int property(String type, byte[] content) {
    properties.add(FrameReaderTest.box(type, content));
    return properties.size();
  }

  /** From now on items refer to the picture in another way. */
  HeifFiles referringAs(String type) {
    ofThumbnails = type;
    return this;
  }

  /**
   * Adds a thumbnail.
   *
   * @param stream name of a committed stream
   * @param more pairs of a property's type and its content
   */
  HeifFiles with(String stream, int width, int height, Object... more) throws IOException {
    Streams.Item s = Streams.item(stream);
    List<Integer> own = new ArrayList<>();
    own.add(property("hvcC", s.configuration()));
    own.add(property("ispe", size(width, height)));
    for (int i = 0; i < more.length; i += 2) {
      own.add(property((String) more[i], (byte[]) more[i + 1]));
    }
    int id = PRIMARY + items.size();
    items.add(new Item(id, "hvc1", s.data(), own));
    ByteBuffer b = ByteBuffer.allocate(6);
    b.putShort((short) id).putShort((short) 1).putShort((short) PRIMARY);
    references.writeBytes(FrameReaderTest.box(ofThumbnails, b.array()));
    return this;
  }

  /** Where the bytes of a thumbnail begin in the file, 1 for the first. */
  int place(int thumbnail) {
    int at = build().length;
    for (int i = items.size() - 1; i >= thumbnail; i--) {
      at -= items.get(i).data.length;
    }
    return at;
  }

  byte[] build() {
    byte[] empty = whole(0);
    int data = 0;
    for (Item i : items) {
      data += i.data.length;
    }
    return whole(empty.length - data);
  }

  private byte[] whole(int dataStart) {
    ByteArrayOutputStream data = new ByteArrayOutputStream();
    ByteArrayOutputStream infos = new ByteArrayOutputStream();
    ByteBuffer iloc = ByteBuffer.allocate(8 + items.size() * 14);
    iloc.putInt(0).put((byte) 0x44).put((byte) 0).putShort((short) items.size());
    ByteArrayOutputStream ipma = new ByteArrayOutputStream();
    ipma.writeBytes(ByteBuffer.allocate(8).putInt(0).putInt(items.size()).array());
    for (Item i : items) {
      infos.writeBytes(FrameReaderTest.item(i.id, i.type));
      iloc.putShort((short) i.id).putShort((short) 0).putShort((short) 1);
      iloc.putInt(dataStart + data.size()).putInt(i.data.length);
      data.writeBytes(i.data);
      ipma.write(0);
      ipma.write(i.id);
      ipma.write(i.properties.size());
      i.properties.forEach(ipma::write);
    }
    byte[] iinf =
        join(
            ByteBuffer.allocate(6).putInt(0).putShort((short) items.size()).array(),
            infos.toByteArray());
    byte[] meta =
        join(
            new byte[4],
            FrameReaderTest.box("pitm", new byte[] {0, 0, 0, 0, 0, PRIMARY}),
            FrameReaderTest.box("iinf", iinf),
            FrameReaderTest.box("iloc", iloc.array()),
            FrameReaderTest.box("iref", join(new byte[4], references.toByteArray())),
            FrameReaderTest.box(
                "iprp",
                join(
                    FrameReaderTest.box("ipco", join(properties.toArray(byte[][]::new))),
                    FrameReaderTest.box("ipma", ipma.toByteArray()))));
    return join(
        FrameReaderTest.box("ftyp", "heic\0\0\0\0mif1heic".getBytes(StandardCharsets.ISO_8859_1)),
        FrameReaderTest.box("meta", meta),
        FrameReaderTest.box("mdat", data.toByteArray()));
  }

  private static byte[] join(byte[]... parts) {
    return FrameReaderTest.join(parts);
  }
}
