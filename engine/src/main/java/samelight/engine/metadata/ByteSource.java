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
  private static final int HEAD = 2 * BLOCK;

  private static final ThreadLocal<ByteBuffer> DIRECT =
      ThreadLocal.withInitial(() -> ByteBuffer.allocateDirect(1 << 16));

  private final @Nullable FileChannel channel;
  private final long length;
  private final Budget budget;
  private final Map<Long, byte[]> blocks = new HashMap<>();
  private final byte[] head;
  private long lastIndex = -1;
  private byte[] last = new byte[0];
  private long bytesRead;

  private ByteSource(FileChannel channel, Budget budget) throws IOException {
    this.channel = channel;
    this.budget = budget;
    this.length = channel.size();
    this.head = new byte[(int) Math.min(HEAD, length)];
    fill(0, head, 0, head.length);
  }

  private ByteSource(byte[] data, Budget budget) {
    this.channel = null;
    this.budget = budget;
    this.length = data.length;
    this.head = data;
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

  /** The first bytes, as many as there are up to {@code count}, at most 16 KiB. */
  byte[] head(int count) {
    return java.util.Arrays.copyOf(head, Math.min(count, head.length));
  }

  int u8(long position) throws IOException {
    if (position >= 0 && position < head.length) {
      return head[(int) position] & 0xFF;
    }
    long index = position / BLOCK;
    if (index != lastIndex || position < 0) {
      load(position, index);
    }
    int at = (int) (position - index * BLOCK);
    if (at >= last.length) {
      throw past(position, 1);
    }
    return last[at] & 0xFF;
  }

  /** A number of two bytes. */
  int u16(long position, boolean bigEndian) throws IOException {
    int first = u8(position);
    int second = u8(position + 1);
    return bigEndian ? first << 8 | second : second << 8 | first;
  }

  /** A number of four bytes. */
  int i32(long position, boolean bigEndian) throws IOException {
    int first = u16(position, bigEndian);
    int second = u16(position + 2, bigEndian);
    return bigEndian ? first << 16 | second : second << 16 | first;
  }

  /** Copies bytes that lie within the file. */
  void get(long position, byte[] into, int at, int count) throws IOException {
    if (position < 0 || count < 0 || position > length - count) {
      throw past(position, count);
    }
    if (position + count <= head.length) {
      System.arraycopy(head, (int) position, into, at, count);
      return;
    }
    if (count > 2 * BLOCK) {
      fill(position, into, at, count);
      return;
    }
    int done = 0;
    while (done < count) {
      long index = (position + done) / BLOCK;
      if (index != lastIndex) {
        load(position + done, index);
      }
      int from = (int) (position + done - index * BLOCK);
      int n = Math.min(count - done, last.length - from);
      System.arraycopy(last, from, into, at + done, n);
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

  private void load(long position, long index) throws IOException {
    if (position < 0 || position >= length) {
      throw past(position, 1);
    }
    byte[] block = blocks.get(index);
    if (block == null) {
      long start = index * BLOCK;
      block = new byte[(int) Math.min(BLOCK, length - start)];
      fill(start, block, 0, block.length);
      blocks.put(index, block);
    }
    last = block;
    lastIndex = index;
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
