package samelight.engine.account;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.copies.CardBook;
import samelight.engine.files.ContentHash;
import samelight.engine.files.ShootPaths;

/**
 * Where a file of a shoot came from and where its copies lie, checked now.
 *
 * @param file path relative to the shoot
 * @param entry what the manifest says of it, or null where no manifest knows it
 * @param copies its copies, the one in this shoot first; of a file that no manifest knows this one
 *     alone
 */
public record FrameTrace(String file, CardBook.@Nullable Copied entry, List<Copy> copies) {
  /** What became of a copy. */
  public enum State {
    /** It has the bytes of the manifest. */
    SAME("same bytes as on the card"),
    /** It has other bytes. */
    OTHER_BYTES("OTHER BYTES than on the card"),
    /** Its folder is there, the file is not. */
    NOT_THERE("NOT THERE"),
    /** Its folder isn't there now: a drive that isn't connected, perhaps. */
    OUT_OF_REACH("folder not there now, not checked"),
    /** It can't be read. */
    UNREADABLE("CAN'T BE READ"),
    /** No manifest says what it should be. */
    UNKNOWN("no manifest to compare with");

    private final String words;

    State(String words) {
      this.words = words;
    }

    /** In words. */
    public String words() {
      return words;
    }

    /** Whether a person should do something about it. */
    public boolean attention() {
      return this == OTHER_BYTES || this == NOT_THERE || this == UNREADABLE;
    }
  }

  /**
   * One copy.
   *
   * @param path where
   * @param state whether its bytes are right
   * @param sha256 of its bytes now, or null where they couldn't be read
   */
  public record Copy(String path, State state, @Nullable String sha256) {}

  /** Copies its list. */
  public FrameTrace {
    copies = List.copyOf(copies);
  }

  /**
   * Looks at all copies of a file, and reads them.
   *
   * @param file path relative to the shoot
   * @param books manifests of the shoot
   */
  public static FrameTrace of(ShootPaths shoot, String file, List<CardBook> books) {
    Path here = shoot.resolve(file);
    for (CardBook book : books) {
      CardBook.Copied entry = book.files().get(file);
      if (entry != null) {
        List<Copy> copies = new ArrayList<>();
        copies.add(copy(here.toString(), here, entry.sha256()));
        for (String place : others(shoot, book)) {
          copies.add(copy(place, entry));
        }
        return new FrameTrace(file, entry, copies);
      }
    }
    return new FrameTrace(file, null, List.of(copy(here.toString(), here, null)));
  }

  /** The other places of a copied shoot. */
  private static Set<String> others(ShootPaths shoot, CardBook book) {
    Set<String> places = new LinkedHashSet<>(book.places());
    Path own = shoot.root().resolve(book.folder()).normalize();
    places.removeIf(
        p -> {
          try {
            Path place = Path.of(p);
            return place.equals(own) || (Files.exists(place) && Files.isSameFile(place, own));
          } catch (IOException | InvalidPathException e) {
            return false;
          }
        });
    return places;
  }

  private static Copy copy(String place, CardBook.Copied entry) {
    Path folder;
    Path file;
    try {
      folder = Path.of(place);
      file = folder.resolve(entry.path());
    } catch (InvalidPathException e) {
      return new Copy(place, State.OUT_OF_REACH, null);
    }
    return folder.isAbsolute() && Files.isDirectory(folder)
        ? copy(file.toString(), file, entry.sha256())
        : new Copy(file.toString(), State.OUT_OF_REACH, null);
  }

  private static Copy copy(String path, Path file, @Nullable String expected) {
    if (!Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      return new Copy(path, State.NOT_THERE, null);
    }
    String hash = sha256(file);
    if (hash == null) {
      return new Copy(path, State.UNREADABLE, null);
    }
    State state =
        expected == null ? State.UNKNOWN : hash.equals(expected) ? State.SAME : State.OTHER_BYTES;
    return new Copy(path, state, hash);
  }

  /**
   * SHA-256 of a regular file's bytes as 64 lower-case hexadecimal digits, or null where it is none
   * or can't be read.
   */
  public static @Nullable String sha256(Path file) {
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      return null;
    }
    try {
      return ContentHash.of(file);
    } catch (IOException e) {
      return null;
    }
  }
}
