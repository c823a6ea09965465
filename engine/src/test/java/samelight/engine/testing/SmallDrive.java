package samelight.engine.testing;

import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Path;

/** A real file system in memory with little room (Linux, as administrator). */
public final class SmallDrive implements AutoCloseable {
  private final Path folder;

  private SmallDrive(Path folder) {
    this.folder = folder;
  }

  /**
   * Mounts one; where that isn't allowed the test is skipped.
   *
   * @param folder an empty folder
   * @param size as {@code mount} takes it, such as "66m"
   */
  public static SmallDrive mount(Path folder, String size) {
    assumeTrue(
        run("mount", "-t", "tmpfs", "-o", "size=" + size, "tmpfs", folder.toString()) == 0,
        "needs the right to mount a small file system");
    return new SmallDrive(folder);
  }

  private static int run(String... command) {
    try {
      Process p = new ProcessBuilder(command).redirectErrorStream(true).start();
      p.getInputStream().readAllBytes();
      return p.waitFor();
    } catch (IOException e) {
      return -1; // no such command here
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return -1;
    }
  }

  @Override
  public void close() {
    run("umount", folder.toString());
  }
}
