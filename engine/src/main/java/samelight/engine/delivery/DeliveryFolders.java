package samelight.engine.delivery;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;

/**
 * Both folders of a delivery, with links followed.
 *
 * @param from the folder of exports
 * @param to the gallery's folder, there or not
 */
record DeliveryFolders(Path from, Path to) {
  /**
   * Checks them.
   *
   * @throws RefusedInputException if one can't be used
   */
  static DeliveryFolders of(DeliverRequest request) {
    Path from = existing(request.from(), "the folder of exports");
    Path given = request.to().toAbsolutePath().normalize();
    Path to;
    if (Files.exists(given)) {
      to = existing(given, "the gallery's folder");
    } else {
      Path parent = given.getParent();
      Path name = given.getFileName();
      if (parent == null || name == null) {
        throw new RefusedInputException(
            given.toString(), "must be a folder", "the top of a drive", "Name a folder on it");
      }
      to = existing(parent, "the folder that the gallery is to lie in").resolve(name);
    }
    apart(to, "the shoot", request.shoot());
    apart(to, "the folder of exports", from);
    return new DeliveryFolders(from, to);
  }

  private static Path existing(Path folder, String what) {
    Path real;
    try {
      real = folder.toRealPath();
    } catch (IOException e) {
      throw new RefusedInputException(
          folder.toString(),
          what + " must be there",
          DurableFile.reasonOf(e),
          "Check the spelling and that its drive is there",
          e);
    }
    if (!Files.isDirectory(real)) {
      throw new RefusedInputException(
          folder.toString(), what + " must be a folder", "a file", "Name a folder");
    }
    return real;
  }

  private static void apart(Path to, String what, Path other) {
    if (to.startsWith(other) || other.startsWith(to)) {
      throw new RefusedInputException(
          to.toString(),
          "the gallery and " + what + " may not lie in each other",
          to.equals(other) ? "the same folder" : other.toString(),
          "Name another folder");
    }
  }
}
