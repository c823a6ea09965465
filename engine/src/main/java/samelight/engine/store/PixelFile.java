package samelight.engine.store;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.ThreadLocalRandom;
import java.util.zip.CRC32C;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.Disk;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.SmallImage;

/**
 * The pixels of a shoot's small images, {@code samelight/small-images.bin}: a header of 32 bytes
 * (the 16 letters {@code samelight pixels}, a version as a big-endian 32-bit number, 12 random
 * bytes that are the file's id), then the rows of the images, R G B, one image after the other.
 * Where an image begins and what its CRC-32C is (RFC 3720) stands in {@code frames.json}.
 *
 * <p>The file only ever grows, so that what an earlier {@code frames.json} says of it stays true
 * until a new one is in place; when most of it is no longer used it is begun anew. It is mapped
 * into memory piece by piece, outside the heap.
 */
final class PixelFile {
  static final String NAME = "samelight/small-images.bin";

  private static final byte[] MAGIC = "samelight pixels".getBytes(StandardCharsets.US_ASCII);
  private static final int VERSION = 1;
  private static final int HEADER = 32;
  private static final int ID_BYTES = 12;
  private static final long PIECE = 256L << 20;
  private static final long LARGEST_IMAGE = 512 * 512 * 3;
  private static final int FLUSH = 8 << 20;

  private final Path file;
  private final String id;
  private final List<@Nullable ByteBuffer> pieces = new ArrayList<>();
  private ByteArrayOutputStream waiting = new ByteArrayOutputStream();
  private long written;

  /** Where one image lies. */
  record Slot(long at, int width, int height, int crc) {
    int length() {
      return width * height * 3;
    }
  }

  private PixelFile(Path file, String id, long written) {
    this.file = file;
    this.id = id;
    this.written = written;
  }

  /** The file as it is, or null where there is none that can be used. */
  static @Nullable PixelFile open(ShootPaths shoot) {
    Path file = shoot.resolve(NAME);
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      ByteBuffer header = ByteBuffer.allocate(HEADER).order(ByteOrder.BIG_ENDIAN);
      while (header.hasRemaining() && channel.read(header) >= 0) {
        // a short read goes on
      }
      if (header.hasRemaining()) {
        return null;
      }
      byte[] magic = new byte[MAGIC.length];
      byte[] id = new byte[ID_BYTES];
      header.flip().get(magic);
      int version = header.getInt();
      header.get(id);
      if (!Arrays.equals(magic, MAGIC) || version != VERSION) {
        return null;
      }
      return new PixelFile(file, HexFormat.of().formatHex(id), channel.size());
    } catch (IOException e) {
      return null;
    }
  }

  /** Begins a new file in place of the old one; nothing is written before the first flush. */
  static PixelFile begin(ShootPaths shoot) {
    Path file = shoot.resolve(NAME);
    byte[] id = new byte[ID_BYTES];
    ThreadLocalRandom.current().nextBytes(id);
    PixelFile begun = new PixelFile(file, HexFormat.of().formatHex(id), 0);
    begun.waiting.writeBytes(
        ByteBuffer.allocate(HEADER).put(MAGIC).putInt(VERSION).put(id).array());
    return begun;
  }

  /** What tells this file from any other. */
  String id() {
    return id;
  }

  /** Bytes, those not written yet included. */
  synchronized long size() {
    return written + waiting.size();
  }

  /** Adds an image. */
  synchronized Slot add(SmallImage image) {
    byte[] rgb = image.rgb();
    Slot slot = new Slot(size(), image.width(), image.height(), crc(ByteBuffer.wrap(rgb)));
    waiting.write(rgb, 0, rgb.length);
    if (waiting.size() >= FLUSH) {
      flush();
    }
    return slot;
  }

  /**
   * Writes what waits, durably; the caller holds the shoot's lock.
   *
   * @throws samelight.engine.files.CouldNotWriteException if it can't be written
   */
  synchronized void flush() {
    if (waiting.size() == 0) {
      return;
    }
    byte[] bytes = waiting.toByteArray();
    try {
      if (written > 0) {
        Disk.REAL.append(file, bytes);
      } else {
        if (Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
          Disk.REAL.delete(file);
        }
        Disk.REAL.writeNew(file, bytes, null);
      }
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(file, e);
    }
    written += bytes.length;
    waiting = new ByteArrayOutputStream();
  }

  /** The image of a slot; its pixels are fetched when looked at. */
  SmallImage image(Slot slot) {
    return new SmallImage(slot.width, slot.height, () -> pixels(slot));
  }

  /** Whether the slot lies within the file and its bytes are those that were written. */
  boolean sound(Slot slot) {
    return slot.at >= HEADER && slot.at + slot.length() <= size() && crc(pixels(slot)) == slot.crc;
  }

  private synchronized ByteBuffer pixels(Slot slot) {
    if (slot.at + slot.length() > written) {
      flush();
    }
    int piece = (int) (slot.at / PIECE);
    while (pieces.size() <= piece) {
      pieces.add(null);
    }
    long from = piece * PIECE;
    int at = (int) (slot.at - from);
    ByteBuffer mapped = pieces.get(piece);
    if (mapped == null || mapped.limit() < at + slot.length()) {
      mapped = map(from, Math.min(PIECE + LARGEST_IMAGE, written - from));
      pieces.set(piece, mapped);
    }
    return mapped.slice(at, slot.length());
  }

  private ByteBuffer map(long from, long length) {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      return channel.map(FileChannel.MapMode.READ_ONLY, from, length);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static int crc(ByteBuffer bytes) {
    CRC32C crc = new CRC32C();
    crc.update(bytes.duplicate());
    return (int) crc.getValue();
  }
}
