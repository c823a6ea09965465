package samelight.engine.sidecar;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.Disk;

/**
 * A disk whose power fails at one boundary: between the steps of each operation, and with changes
 * of a folder that were not yet forced either kept or lost.
 */
final class CrashDisk implements Disk {
  /** The power failed. */
  static final class PowerFailure extends Error {
    private static final long serialVersionUID = 1;

    PowerFailure() {
      super("power failure", null, false, false);
    }
  }

  @SuppressWarnings("ArrayRecordComponent") // never compared
  private record Pending(Path folder, Path file, byte @Nullable [] before) {}

  private final int failAt;
  private final boolean loseUnforced;
  private final List<Pending> pending = new ArrayList<>();
  private int step;
  private boolean dead;

  /**
   * @param failAt number of the boundary at which the power fails, from 0
   * @param loseUnforced whether renames, new files and deletions whose folder was not forced are
   *     lost
   */
  CrashDisk(int failAt, boolean loseUnforced) {
    this.failAt = failAt;
    this.loseUnforced = loseUnforced;
  }

  boolean failed() {
    return dead;
  }

  /** One boundary. */
  private void boundary() {
    if (dead || step++ == failAt) {
      if (!dead) {
        dead = true;
        lose();
      }
      throw new PowerFailure();
    }
  }

  private void lose() {
    if (!loseUnforced) {
      return;
    }
    try {
      for (int i = pending.size() - 1; i >= 0; i--) {
        Pending p = pending.get(i);
        if (p.before() == null) {
          Files.deleteIfExists(p.file());
        } else {
          Files.write(p.file(), p.before());
        }
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private void unforced(Path file) throws IOException {
    byte[] before = Files.exists(file) ? Files.readAllBytes(file) : null;
    pending.add(new Pending(Objects.requireNonNull(file.getParent()), file, before));
  }

  @Override
  public synchronized void writeNew(Path file, byte[] bytes, @Nullable Path like)
      throws IOException {
    boundary();
    unforced(file);
    Files.write(file, new byte[0], StandardOpenOption.CREATE_NEW);
    boundary();
    Files.write(file, Arrays.copyOf(bytes, bytes.length / 2));
    boundary();
    Files.write(file, new byte[bytes.length]); // length on disk, data not yet
    boundary();
    Files.write(file, bytes);
  }

  @Override
  public synchronized void append(Path file, byte[] bytes) throws IOException {
    boundary();
    if (!Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      unforced(file);
      Files.createFile(file);
    }
    boundary();
    long length = Files.size(file);
    byte[] half = Arrays.copyOf(bytes, bytes.length / 2);
    byte[] second = bytes.clone();
    Arrays.fill(second, 0, half.length, (byte) 0);
    Files.write(file, second, StandardOpenOption.APPEND); // blocks may arrive out of order
    boundary();
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.truncate(length);
    }
    Files.write(file, half, StandardOpenOption.APPEND);
    boundary();
    byte[] rest = Arrays.copyOfRange(bytes, half.length, bytes.length - 1);
    Files.write(file, rest, StandardOpenOption.APPEND);
    boundary();
    Files.write(
        file, Arrays.copyOfRange(bytes, bytes.length - 1, bytes.length), StandardOpenOption.APPEND);
  }

  @Override
  public synchronized void rename(Path source, Path target) throws IOException {
    boundary();
    unforced(target);
    unforced(source);
    Disk.REAL.rename(source, target);
    boundary();
  }

  @Override
  public synchronized void delete(Path file) throws IOException {
    boundary();
    unforced(file);
    Files.delete(file);
    boundary();
  }

  @Override
  public synchronized void makeFolders(Path folder) throws IOException {
    boundary();
    Files.createDirectories(folder);
  }

  @Override
  public synchronized void forceFolder(Path folder) {
    boundary();
    pending.removeIf(p -> p.folder().equals(folder));
  }
}
