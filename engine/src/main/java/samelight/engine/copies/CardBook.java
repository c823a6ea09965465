package samelight.engine.copies;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;

/**
 * What a manifest of copies says, for reading alone.
 *
 * @param folder folder of the copied shoot relative to the shoot that was asked about, with a
 *     {@code /} at its end; empty where it is the same folder
 * @param name name that the copied shoot was given
 * @param places absolute paths of all its copies as they were made, this one included
 * @param files its files, by path relative to the shoot that was asked about
 */
public record CardBook(
    String folder, String name, List<String> places, SortedMap<String, Copied> files) {
  /** Copies its collections. */
  public CardBook {
    places = List.copyOf(places);
    files = Collections.unmodifiableSortedMap(new TreeMap<>(files));
  }

  /**
   * One copied file.
   *
   * @param path relative to each copy of the shoot
   * @param size bytes
   * @param sha256 of all its bytes, 64 lower-case hexadecimal digits
   * @param card label of its card
   * @param cardPath path on the card
   * @param copied when
   * @param verified when this copy was read back and found equal, or null
   */
  public record Copied(
      String path,
      long size,
      String sha256,
      String card,
      String cardPath,
      Instant copied,
      @Nullable Instant verified) {}

  /**
   * The manifests of a shoot: in its own folder, and in the folders directly in it, where several
   * copied shoots lie in one.
   *
   * @throws RefusedInputException if a manifest is damaged or a folder can't be listed
   */
  public static List<CardBook> of(ShootPaths shoot) {
    List<CardBook> books = new ArrayList<>();
    if (Manifest.exists(shoot.root())) {
      books.add(read(shoot, ""));
    }
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(shoot.root())) {
      List<Path> folders = new ArrayList<>();
      entries.forEach(folders::add);
      Collections.sort(folders);
      for (Path folder : folders) {
        if (Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS) && Manifest.exists(folder)) {
          books.add(read(ShootPaths.of(folder), folder.getFileName() + "/"));
        }
      }
    } catch (IOException | java.nio.file.DirectoryIteratorException e) {
      throw new RefusedInputException(
          shoot.root().toString(),
          "must be a folder that can be read",
          e instanceof IOException io ? DurableFile.reasonOf(io) : String.valueOf(e.getMessage()),
          "Check its permissions",
          e);
    }
    return books;
  }

  private static CardBook read(ShootPaths copied, String folder) {
    Manifest manifest = Manifest.read(copied);
    SortedMap<String, Copied> files = new TreeMap<>();
    manifest
        .records()
        .forEach(
            (path, r) ->
                files.put(
                    folder + path,
                    new Copied(
                        r.path(),
                        r.size(),
                        r.sha256(),
                        r.card(),
                        r.cardPath(),
                        r.copied(),
                        r.verified())));
    return new CardBook(folder, manifest.name(), manifest.places(), files);
  }
}
