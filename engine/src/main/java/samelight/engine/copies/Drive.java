package samelight.engine.copies;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;

/**
 * The drive on which a folder lies, as far as the system tells. Two partitions of one disk are one
 * drive on Linux; elsewhere, and on a network, one volume is taken for one drive.
 *
 * @param id the same for two folders on one drive
 * @param name for a person
 */
public record Drive(String id, String name) {
  private static final int DEEPEST = 8;

  /**
   * The drive of a folder or file that exists.
   *
   * @throws IOException if the system doesn't say
   */
  public static Drive of(Path path) throws IOException {
    FileStore store = Files.getFileStore(path);
    String name = store.name().isEmpty() ? store.type() : store.name();
    if (store.supportsFileAttributeView("unix")
        || path.getFileSystem().supportedFileAttributeViews().contains("unix")) {
      long device = ((Number) Files.getAttribute(path, "unix:dev")).longValue();
      long major = (device >> 8 & 0xfff) | (device >> 32 & ~0xfffL);
      long minor = (device & 0xff) | (device >> 12 & ~0xffL);
      String disk = disk(Path.of("/sys/dev/block/" + major + ":" + minor));
      return new Drive(disk.isEmpty() ? "device " + device : "disk " + disk, name);
    }
    try {
      return new Drive("volume " + store.getAttribute("volume:vsn"), name);
    } catch (UnsupportedOperationException e) {
      return new Drive("store " + name + " " + store.type(), name);
    }
  }

  /** The whole disk behind a partition or a mapped device (Linux, sysfs); empty where unknown. */
  private static String disk(Path device) throws IOException {
    if (!Files.exists(device)) {
      return "";
    }
    Path real = device.toRealPath();
    for (int i = 0; i < DEEPEST; i++) {
      if (Files.exists(real.resolve("partition"))) {
        real = real.resolve("..").toRealPath();
      }
      Path slaves = real.resolve("slaves");
      if (!Files.isDirectory(slaves)) {
        break;
      }
      List<Path> below;
      try (Stream<Path> list = Files.list(slaves)) {
        below = list.sorted().toList();
      }
      if (below.size() != 1) {
        break;
      }
      real = below.get(0).toRealPath();
    }
    return String.valueOf(real.getFileName());
  }
}
