package samelight.engine.copies;

import com.sun.nio.file.ExtendedOpenOption;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.LongConsumer;
import samelight.engine.files.ContentHash;
import samelight.engine.files.NamedThreads;

/**
 * Hashes files as they lie on the drive: past the page cache where the file system reads so
 * (O_DIRECT and its like), else the ordinary way, which {@link Result#direct} tells. One file at a
 * time; the next piece is read while one is hashed.
 */
final class ReadBack implements AutoCloseable {
  private static final int PIECE = 8 << 20;
  private static final int MOST_BLOCK = 1 << 16;

  private final ExecutorService ahead = NamedThreads.single("samelight-read-ahead");
  private final ByteBuffer[] buffers = new ByteBuffer[2];

  /**
   * What a file holds.
   *
   * @param sha256 of all its bytes
   * @param direct whether they came past the page cache
   */
  record Result(String sha256, boolean direct) {}

  ReadBack() {
    for (int i = 0; i < buffers.length; i++) {
      buffers[i] = ByteBuffer.allocateDirect(PIECE + MOST_BLOCK).alignedSlice(MOST_BLOCK);
    }
  }

  /**
   * Hashes a file.
   *
   * @param read told how many more bytes were read
   * @throws IOException if it can't be read
   */
  Result hash(Path file, LongConsumer read) throws IOException {
    FileChannel channel;
    boolean direct = true;
    try {
      channel = FileChannel.open(file, StandardOpenOption.READ, ExtendedOpenOption.DIRECT);
    } catch (IOException | UnsupportedOperationException e) {
      if (!Files.isReadable(file)) {
        throw e instanceof IOException io ? io : new IOException(e);
      }
      direct = false;
      channel = FileChannel.open(file, StandardOpenOption.READ);
    }
    long[] told = new long[1];
    try (FileChannel c = channel) {
      String hash =
          hash(
              c,
              direct,
              n -> {
                told[0] += n;
                read.accept(n);
              });
      return new Result(hash, direct);
    } catch (IOException e) {
      if (!direct) {
        throw e;
      }
      // Some file systems open a file so and then refuse to read it so.
    }
    try (FileChannel c = FileChannel.open(file, StandardOpenOption.READ)) {
      long[] again = new long[1];
      String hash =
          hash(
              c,
              false,
              n -> {
                again[0] += n;
                read.accept(Math.max(0, Math.min(n, again[0] - told[0])));
              });
      return new Result(hash, false);
    }
  }

  private String hash(FileChannel channel, boolean direct, LongConsumer read) throws IOException {
    MessageDigest digest = ContentHash.digest();
    int at = 0;
    boolean more = true;
    Future<Integer> next = fill(channel, buffers[0], direct);
    while (more) {
      int n = got(next);
      ByteBuffer full = buffers[at];
      at = 1 - at;
      more = n == PIECE;
      if (more) {
        next = fill(channel, buffers[at], direct);
      }
      full.flip();
      digest.update(full);
      read.accept(n);
    }
    if (channel.position() < channel.size()) {
      throw new IOException("a read ended before the end of the file");
    }
    return HexFormat.of().formatHex(digest.digest());
  }

  private Future<Integer> fill(FileChannel channel, ByteBuffer buffer, boolean direct) {
    return ahead.submit(
        () -> {
          buffer.clear().limit(PIECE);
          boolean end = false;
          while (buffer.hasRemaining() && !end) {
            end = channel.read(buffer) < 0;
            // A short piece is the end of the file; asking again there may not be aligned.
            end |= direct;
          }
          return buffer.position();
        });
  }

  private static int got(Future<Integer> piece) throws IOException {
    try {
      return piece.get(1, TimeUnit.HOURS);
    } catch (ExecutionException e) {
      if (e.getCause() instanceof IOException io) {
        throw io;
      }
      throw new IOException(e.getCause());
    } catch (TimeoutException e) {
      throw new IOException("the drive didn't answer for an hour", e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("interrupted", e);
    }
  }

  @Override
  public void close() {
    ahead.shutdownNow();
  }
}
