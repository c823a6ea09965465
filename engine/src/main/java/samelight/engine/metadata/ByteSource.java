package samelight.engine.metadata;

import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * A file read by position through blocks that are kept: what is asked for is read once, and nothing
 * else is. The library's own readers stream a file from its start or read it byte by byte.
 */
final class ByteSource implements AutoCloseable {
  /** Bytes of one block. */
  static final int BLOCK = 8192;

  /** First read: the head holds the directories of most formats. */
  private static final int HEAD = 8 * BLOCK;

  private static final ThreadLocal<ByteBuffer> DIRECT =
      ThreadLocal.withInitial(() -> ByteBuffer.allocateDirect(1 << 16));

  private final @Nullable FileChannel channel;
  private final long length;
  private final Budget budget;
  private final Map<Long, byte[]> blocks = new HashMap<>();
  private final byte[] head;
  // The piece of the file that was looked into last: the head or a block.
  private byte[] window;
  private long windowStart;
  private long bytesRead;

  private ByteSource(FileChannel channel, Budget budget) throws IOException {
    this.channel = channel;
    this.budget = budget;
    this.length = channel.size();
    this.head = new byte[(int) Math.min(HEAD, length)];
    this.window = head;
    fill(0, head, 0, head.length);
  }

  private ByteSource(byte[] data, Budget budget) {
    this.channel = null;
    this.budget = budget;
    this.length = data.length;
    this.head = data;
    this.window = data;
  }

  /** Bytes that were had by other means, such as deciphering. */
  static ByteSource memory(byte[] data, Budget budget) {
    return new ByteSource(data, budget);
  }

  static ByteSource open(Path file, Budget budget) throws IOException {
    FileChannel channel = FileChannel.open(file, StandardOpenOption.READ);
    try {
      return new ByteSource(channel, budget);
    } catch (IOException | RuntimeException | Error e) {
      channel.close();
      throw e;
    }
  }

  long length() {
    return length;
  }

  /** Bytes that came from the file so far. */
  long bytesRead() {
    return bytesRead;
  }

  Budget budget() {
    return budget;
  }

  /** The first bytes, as many as there are up to {@code count}, at most 64 KiB. */
  byte[] head(int count) {
    return java.util.Arrays.copyOf(head, Math.min(count, head.length));
  }

  int u8(long position) throws IOException {
    if (position < windowStart || position >= windowStart + window.length) {
      move(position);
    }
    return window[(int) (position - windowStart)] & 0xFF;
  }

  /** A number of two bytes. */
  int u16(long position, boolean bigEndian) throws IOException {
    if (position < windowStart || position > windowStart + window.length - 2) {
      return apart16(position, bigEndian);
    }
    int at = (int) (position - windowStart);
    int first = window[at] & 0xFF;
    int second = window[at + 1] & 0xFF;
    return bigEndian ? first << 8 | second : second << 8 | first;
  }

  private int apart16(long position, boolean bigEndian) throws IOException {
    int first = u8(position);
    int second = u8(position + 1);
    return bigEndian ? first << 8 | second : second << 8 | first;
  }

  /** A number of four bytes. */
  int i32(long position, boolean bigEndian) throws IOException {
    if (position < windowStart || position > windowStart + window.length - 4) {
      return apart32(position, bigEndian);
    }
    int at = (int) (position - windowStart);
    int big =
        window[at] << 24
            | (window[at + 1] & 0xFF) << 16
            | (window[at + 2] & 0xFF) << 8
            | (window[at + 3] & 0xFF);
    return bigEndian ? big : Integer.reverseBytes(big);
  }

  private int apart32(long position, boolean bigEndian) throws IOException {
    int first = apart16(position, bigEndian);
    int second = apart16(position + 2, bigEndian);
    return bigEndian ? first << 16 | second : second << 16 | first;
  }

  /** Copies bytes that lie within the file. */
  void get(long position, byte[] into, int at, int count) throws IOException {
    if (position < 0 || count < 0 || position > length - count) {
      throw past(position, count);
    }
    int done = (int) Math.max(0, Math.min(count, head.length - position));
    if (done > 0) {
      System.arraycopy(head, (int) position, into, at, done);
    }
    if (done < count) {
      getFar(position + done, into, at + done, count - done);
    }
  }

  /** Copies bytes behind the head. */
  private void getFar(long position, byte[] into, int at, int count) throws IOException {
    if (count > 2 * BLOCK) {
      fill(position, into, at, count);
      return;
    }
    int done = 0;
    while (done < count) {
      move(position + done);
      int from = (int) (position + done - windowStart);
      int n = Math.min(count - done, window.length - from);
      System.arraycopy(window, from, into, at + done, n);
      done += n;
    }
  }

  byte[] get(long position, int count) throws IOException {
    if (position < 0 || count < 0 || position > length - count) {
      throw past(position, count);
    }
    byte[] out = new byte[count];
    get(position, out, 0, count);
    return out;
  }

  /** Makes the window one that a byte lies in. */
  private void move(long position) throws IOException {
    if (position < 0 || position >= length) {
      throw past(position, 1);
    }
    if (position < head.length) {
      window = head;
      windowStart = 0;
      return;
    }
    long index = position / BLOCK;
    byte[] block = blocks.get(index);
    if (block == null) {
      long start = index * BLOCK;
      block = new byte[(int) Math.min(BLOCK, length - start)];
      fill(start, block, 0, block.length);
      blocks.put(index, block);
    }
    window = block;
    windowStart = index * BLOCK;
  }

  private void fill(long position, byte[] into, int at, int count) throws IOException {
    if (channel == null) {
      throw past(position, count);
    }
    budget.spend(count);
    ByteBuffer direct = DIRECT.get();
    int done = 0;
    while (done < count) {
      direct.clear().limit(Math.min(direct.capacity(), count - done));
      budget.beginWait();
      int n = channel.read(direct, position + done);
      budget.endWait();
      if (n < 0) {
        throw new EOFException("file ends at " + (position + done) + " while it is being read");
      }
      direct.flip().get(into, at + done, n);
      done += n;
    }
    bytesRead += count;
  }

  private EOFException past(long position, int count) {
    return new EOFException(
        "bytes " + position + " to " + (position + count) + " of a file of " + length + " bytes");
  }

  @Override
  public void close() throws IOException {
    if (channel != null) {
      channel.close();
    }
  }
}
