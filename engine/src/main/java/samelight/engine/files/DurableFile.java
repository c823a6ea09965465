package samelight.engine.files;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.concurrent.ThreadLocalRandom;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Writes whole files so that after a crash each is wholly old or wholly new: temporary file in the
 * same folder, force, atomic rename, force of the folder.
 *
 * <p>A temporary file that a crash left behind is named {@code .samelight-XXXXXXXXXXXX.tmp} with
 * twelve hexadecimal digits; {@link #isStray} recognises it, and nothing else is ever named so.
 */
public final class DurableFile {
  private static final Pattern STRAY = Pattern.compile("\\.samelight-[0-9a-f]{12}\\.tmp");
  private static final int TRIES = 6;
  private static final long FIRST_PAUSE_MILLIS = 20;

  private DurableFile() {}

  /**
   * Writes a file durably; replaces what was there and keeps its permissions and, where the system
   * lets it, its owner.
   *
   * @param file target; its folder must exist; must not be a link
   * @param bytes the whole new content
   * @throws CouldNotWriteException if the file can't be written; the old content is then untouched
   */
  public static void write(Path file, byte[] bytes) {
    write(Disk.REAL, file, bytes);
  }

  /**
   * As {@link #write(Path, byte[])}, with bytes that are made while they are written, so that a
   * file may be larger than the heap.
   *
   * @throws CouldNotWriteException if the file can't be written; the old content is then untouched,
   *     as it is when {@code content} throws something else
   */
  public static void write(Path file, Content content) {
    RealDisk disk = new RealDisk();
    write(disk, file, (temp, like) -> disk.writeNew(temp, content, like));
  }

  /**
   * As {@link #write(Path, byte[])}, on the given disk.
   *
   * @throws CouldNotWriteException if the file can't be written
   */
  public static void write(Disk disk, Path file, byte[] bytes) {
    write(disk, file, (temp, like) -> disk.writeNew(temp, bytes, like));
  }

  private static void write(Disk disk, Path file, Filling filling) {
    try {
      Path temp = stage(disk, file, filling);
      publish(disk, temp, file);
      disk.forceFolder(folderOf(file));
    } catch (IOException e) {
      throw couldNotWrite(file, e);
    }
  }

  /**
   * First half of a write: the temporary file with its bytes forced to the device. Where that fails
   * the half file is deleted.
   *
   * @return the temporary file
   * @throws IOException if it can't be written
   */
  public static Path stage(Disk disk, Path file, byte[] bytes) throws IOException {
    return stage(disk, file, (temp, like) -> disk.writeNew(temp, bytes, like));
  }

  private static Path stage(Disk disk, Path file, Filling filling) throws IOException {
    if (Files.isSymbolicLink(file)) {
      throw new FileSystemException(file.toString(), null, "is a link");
    }
    Path temp = newTemporary(folderOf(file));
    try {
      filling.fill(temp, Files.exists(file, LinkOption.NOFOLLOW_LINKS) ? file : null);
    } catch (IOException | RuntimeException e) {
      discard(disk, temp, e);
      throw e;
    }
    return temp;
  }

  /**
   * Second half of a write: the atomic rename. A file held open by another program, as some systems
   * report it, is tried six times over about a second. Where it fails the temporary file is
   * deleted. The folder is not forced.
   *
   * @throws IOException if it can't be renamed
   */
  public static void publish(Disk disk, Path temp, Path file) throws IOException {
    try {
      retryWhileHeld(() -> disk.rename(temp, file));
    } catch (IOException e) {
      discard(disk, temp, e);
      throw e;
    }
  }

  /**
   * Deletes a file, with the same patience as {@link #publish}. The folder is not forced.
   *
   * @throws IOException if it can't be deleted
   */
  public static void delete(Disk disk, Path file) throws IOException {
    retryWhileHeld(() -> disk.delete(file));
  }

  /** Whether a file name is that of a temporary file of ours. */
  public static boolean isStray(String fileName) {
    return STRAY.matcher(fileName).matches();
  }

  /** The exception that tells why a file could not be written and what to do. */
  public static CouldNotWriteException couldNotWrite(Path file, IOException e) {
    String reason = reasonOf(e);
    String next;
    if (e instanceof AccessDeniedException) {
      next =
          "Check that the folder may be written to and that no other program holds the file open,"
              + " then run the command again";
    } else if (reason.contains("No space left")) {
      next = "Free some space on that drive, then run the command again";
    } else {
      next = "Check that the drive is there and sound, then run the command again";
    }
    return new CouldNotWriteException(file.toString(), "must be writable", reason, next, e);
  }

  /** What an I/O exception says, in words. */
  public static String reasonOf(IOException e) {
    if (e instanceof AccessDeniedException) {
      return "access denied";
    }
    if (e instanceof java.nio.file.NoSuchFileException) {
      return "no such file or folder";
    }
    if (e instanceof FileSystemException f && f.getReason() != null) {
      return f.getReason();
    }
    String message = e.getMessage();
    return message == null ? e.getClass().getSimpleName() : message;
  }

  private static void discard(Disk disk, Path temp, Exception cause) {
    try {
      if (Files.exists(temp, LinkOption.NOFOLLOW_LINKS)) {
        disk.delete(temp);
      }
    } catch (IOException e) {
      cause.addSuppressed(e);
    }
  }

  private static void retryWhileHeld(Operation operation) throws IOException {
    long pause = FIRST_PAUSE_MILLIS;
    for (int i = 1; ; i++) {
      try {
        operation.run();
        return;
      } catch (FileSystemException e) {
        if (i == TRIES || !held(e)) {
          throw e;
        }
        try {
          Thread.sleep(pause);
        } catch (InterruptedException interrupt) {
          Thread.currentThread().interrupt();
          throw e;
        }
        pause *= 2;
      }
    }
  }

  private static boolean held(FileSystemException e) {
    if (e instanceof AccessDeniedException) {
      return java.io.File.separatorChar == '\\' || e.getReason() != null;
    }
    String reason = e.getReason();
    return reason != null && (reason.contains("another process") || reason.contains("busy"));
  }

  private static Path folderOf(Path file) {
    Path folder = file.toAbsolutePath().getParent();
    return folder == null ? file.toAbsolutePath() : folder;
  }

  /** A name in a folder for a temporary file, which {@link #isStray} recognises. */
  public static Path newTemporary(Path folder) {
    long random = ThreadLocalRandom.current().nextLong();
    return folder.resolve(".samelight-" + HexFormat.of().toHexDigits(random, 12) + ".tmp");
  }

  /** The bytes of a file, made while they are written. */
  public interface Content {
    /**
     * Writes all of them; called once.
     *
     * @param out not to be closed
     */
    void writeTo(OutputStream out) throws IOException;
  }

  /** Writes and forces the temporary file. */
  private interface Filling {
    void fill(Path temp, @Nullable Path like) throws IOException;
  }

  private interface Operation {
    void run() throws IOException;
  }
}
