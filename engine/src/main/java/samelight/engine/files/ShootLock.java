package samelight.engine.files;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;

/**
 * One writer at a time: the file {@code samelight/lock}, locked by the system while it is held. It
 * names the process that holds it; the system lets go of the lock when that process ends however it
 * ends, so a name without a lock is stale and is taken over.
 */
public final class ShootLock implements AutoCloseable {
  /** A byte far behind the text, so that the text can be read while the lock is held. */
  private static final long LOCKED_BYTE = 1L << 40;

  /**
   * Lock files held by this process. Asked first, since closing a second channel on a file would
   * let go of the lock on systems with POSIX record locks.
   */
  private static final Set<Path> HELD = ConcurrentHashMap.newKeySet();

  private final Path file;
  private final FileChannel channel;
  private final FileLock lock;
  private final @Nullable String takenOver;

  private ShootLock(Path file, FileChannel channel, FileLock lock, @Nullable String takenOver) {
    this.file = file;
    this.channel = channel;
    this.lock = lock;
    this.takenOver = takenOver;
  }

  /**
   * Takes the lock of a shoot; makes the folder {@code samelight/} where missing.
   *
   * @param shoot the shoot
   * @throws RefusedInputException if another process holds it, or if {@code samelight} or its lock
   *     file is a link
   * @throws CouldNotWriteException if the lock file can't be written
   */
  public static ShootLock take(ShootPaths shoot) {
    shoot.resolve("samelight");
    Path file = shoot.resolve("samelight/lock");
    if (!HELD.add(file)) {
      throw held(file, "another part of this process");
    }
    FileChannel channel = null;
    boolean taken = false;
    try {
      Files.createDirectories(shoot.own());
      channel =
          FileChannel.open(
              file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
      FileLock lock = channel.tryLock(LOCKED_BYTE, 1, false);
      String holder = read(channel);
      if (lock == null) {
        throw held(file, holder.isEmpty() ? "another command at work" : holder);
      }
      channel.truncate(0);
      String own = "process " + ProcessHandle.current().pid() + ", since " + Instant.now() + "\n";
      channel.write(ByteBuffer.wrap(own.getBytes(StandardCharsets.UTF_8)), 0);
      taken = true;
      return new ShootLock(file, channel, lock, holder.isEmpty() ? null : holder);
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(file, e);
    } finally {
      if (!taken) {
        HELD.remove(file);
        closeQuietly(channel);
      }
    }
  }

  /**
   * Who held the lock before, where that process ended without letting go of it (a crash, a kill):
   * such as {@code process 1234, since 2026-06-20T21:04:11Z}. Empty where nothing was left behind.
   */
  public Optional<String> takenOver() {
    return Optional.ofNullable(takenOver);
  }

  /** Lets go of the lock. The empty file stays. */
  @Override
  public void close() {
    if (!channel.isOpen()) {
      return;
    }
    try (channel) {
      channel.truncate(0);
      lock.release();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } finally {
      HELD.remove(file);
    }
  }

  private static RefusedInputException held(Path file, String holder) {
    return new RefusedInputException(
        file.toString(),
        "only one command may write to a shoot at a time",
        holder,
        "Wait until it has ended, or end it, then run the command again");
  }

  private static String read(FileChannel channel) throws IOException {
    ByteBuffer buffer = ByteBuffer.allocate(200);
    channel.read(buffer, 0);
    buffer.flip();
    return StandardCharsets.UTF_8.decode(buffer).toString().strip();
  }

  private static void closeQuietly(@Nullable FileChannel channel) {
    if (channel == null) {
      return;
    }
    try {
      channel.close();
    } catch (IOException e) {
      // nothing was written through it that matters
    }
  }
}
