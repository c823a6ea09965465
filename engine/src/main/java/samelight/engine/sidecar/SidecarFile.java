package samelight.engine.sidecar;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** Reads sidecars with bounded memory. */
final class SidecarFile {
  private SidecarFile() {}

  /** Whether a path ends like a sidecar's. */
  static boolean named(String path) {
    return path.toLowerCase(Locale.ROOT).endsWith(".xmp");
  }

  /**
   * The bytes of a sidecar, or null where there is none.
   *
   * @param file path without links
   * @throws XmpRefusedException if it isn't a regular file, is too large or can't be read
   */
  static byte @Nullable [] read(Path file) throws XmpRefusedException {
    try {
      if (!Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
        return null;
      }
      if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
        throw new XmpRefusedException(
            "a regular file", Files.isDirectory(file) ? "a folder" : "a special file");
      }
      long size = Files.size(file);
      if (size > XmpPacket.MAX_BYTES) {
        throw tooLarge(size + " bytes");
      }
      try (InputStream in = Files.newInputStream(file, LinkOption.NOFOLLOW_LINKS)) {
        byte[] bytes = in.readNBytes(XmpPacket.MAX_BYTES + 1);
        if (bytes.length > XmpPacket.MAX_BYTES) {
          throw tooLarge("more");
        }
        return bytes;
      }
    } catch (NoSuchFileException e) {
      return null;
    } catch (IOException e) {
      throw new XmpRefusedException(
          "a file that can be read", samelight.engine.files.DurableFile.reasonOf(e));
    }
  }

  private static XmpRefusedException tooLarge(String actual) {
    return new XmpRefusedException("at most " + XmpPacket.MAX_BYTES + " bytes", actual);
  }
}
