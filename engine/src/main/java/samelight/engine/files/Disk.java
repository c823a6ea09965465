package samelight.engine.files;

import java.io.IOException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * The few operations that change a disk, one method for each boundary at which a crash leaves a
 * different state. {@link #REAL} is the disk; tests put a failing one in its place.
 */
public interface Disk {
  /** The machine's own file system. */
  Disk REAL = new RealDisk();

  /**
   * Writes a new file with these bytes and forces them to the device. Permissions and owner are
   * those of {@code like}, as far as the system lets them be set, before any byte is written.
   *
   * @param file must not exist
   * @param like existing file, or null
   * @throws IOException if it exists or can't be written; a half file may remain
   */
  void writeNew(Path file, byte[] bytes, @Nullable Path like) throws IOException;

  /**
   * Appends to a file, made where missing, and forces the bytes to the device.
   *
   * @throws IOException if it can't be written; a part of the bytes may remain
   */
  void append(Path file, byte[] bytes) throws IOException;

  /**
   * Renames within one folder, atomically replacing {@code target}.
   *
   * @throws IOException if the system can't
   */
  void rename(Path source, Path target) throws IOException;

  /**
   * Deletes a file.
   *
   * @throws IOException if it isn't there or the system can't
   */
  void delete(Path file) throws IOException;

  /**
   * Makes a folder and those above it, where missing.
   *
   * @throws IOException if the system can't
   */
  void makeFolders(Path folder) throws IOException;

  /**
   * Forces a folder's entries to the device where the system has a way to do that; elsewhere does
   * nothing.
   *
   * @throws IOException if the device fails
   */
  void forceFolder(Path folder) throws IOException;
}
