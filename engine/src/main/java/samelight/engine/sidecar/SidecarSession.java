package samelight.engine.sidecar;

import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import samelight.engine.files.Disk;
import samelight.engine.files.ShootLock;
import samelight.engine.files.ShootPaths;

/**
 * The right to write to a shoot: the lock is held, and what an interrupted carry left behind has
 * been recovered. Every command that writes works inside one.
 */
public final class SidecarSession implements AutoCloseable {
  private final ShootPaths shoot;
  private final ShootLock lock;
  private final Disk disk;
  private final RevertResult recovered;

  private SidecarSession(ShootPaths shoot, ShootLock lock, Disk disk, RevertResult recovered) {
    this.shoot = shoot;
    this.lock = lock;
    this.disk = disk;
    this.recovered = recovered;
  }

  /**
   * Takes the lock and recovers: a carry that was interrupted before its end is rolled back from
   * its journal, temporary files that it left are deleted.
   *
   * @param shoot the shoot's folder
   * @throws samelight.engine.files.RefusedInputException if there is no such folder, another
   *     command holds the lock, or a journal is damaged
   * @throws samelight.engine.files.CouldNotWriteException if the lock can't be written
   */
  public static SidecarSession open(Path shoot) {
    return open(shoot, Disk.REAL);
  }

  /** As {@link #open(Path)}, writing sidecars and journals to the given disk. */
  public static SidecarSession open(Path shoot, Disk disk) {
    ShootPaths paths = ShootPaths.of(shoot);
    ShootLock lock = ShootLock.take(paths);
    try {
      return new SidecarSession(paths, lock, disk, Recovery.run(paths, disk));
    } catch (RuntimeException | Error e) {
      lock.close();
      throw e;
    }
  }

  /**
   * What the recovery did; {@link RevertResult#carries()} is empty where nothing was unfinished.
   */
  public RevertResult recovered() {
    return recovered;
  }

  /** Who held the lock before and ended without letting go of it, in words. */
  public Optional<String> lockTakenOver() {
    return lock.takenOver();
  }

  /** The shoot's paths. */
  public ShootPaths shoot() {
    return shoot;
  }

  /** The time at which a carry begins. */
  Instant now() {
    return Instant.now();
  }

  Disk disk() {
    return disk;
  }

  /** Lets go of the lock. */
  @Override
  public void close() {
    lock.close();
  }
}
