package samelight.engine.metadata;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.WhitePoint;

/** What a container gave so far; filled by one reader of a format, turned into a frame after. */
final class Collected {
  /** What is wrong in the file; a finding once it is said what was done about it. */
  record Problem(@Nullable Long offset, String rule, String actual) {}

  /** An uncompressed 8-bit RGB thumbnail. */
  record PlainThumbnail(long offset, int width, int height) {}

  /** A white point that the container itself says, and where. */
  record StatedWhitePoint(WhitePoint point, String source) {}

  final List<Directory> directories = new ArrayList<>();
  final List<EmbeddedJpeg> previews = new ArrayList<>();
  final List<HeifThumbnail> thumbnails = new ArrayList<>();
  final List<Problem> problems = new ArrayList<>();
  @Nullable PlainThumbnail plain;
  @Nullable StatedWhitePoint whitePoint;
  byte @Nullable [] xmp;

  /** Whether the maker's notes are laid out as Pentax's, which other makers have used too. */
  boolean pentaxNotes;

  /** Orientation that the container itself says, as Exif's code; 0 where it says none. */
  int orientation;

  int width;
  int height;
  @Nullable String sizeSource;

  /** Says why no pixels could be had, where the format itself is the reason. */
  @Nullable String noPixels;

  /** The main directory, or null. */
  @Nullable Directory main() {
    for (Directory d : directories) {
      if (d.kind() == Directory.Kind.MAIN && d.index() == 0) {
        return d;
      }
    }
    return null;
  }

  /** The first directory of a kind that has a tag, or null. */
  @Nullable Directory having(Directory.Kind kind, int tag) {
    for (Directory d : directories) {
      if (d.kind() == kind && d.get(tag) != null) {
        return d;
      }
    }
    return null;
  }

  /** The maker's notes' sub-directory that a tag points to, or null. */
  @Nullable Directory makerSub(int pointer) {
    for (Directory d : directories) {
      if (d.kind() == Directory.Kind.MAKER_SUB && d.index() == pointer) {
        return d;
      }
    }
    return null;
  }

  /** The maker's notes, or null. */
  @Nullable Directory maker() {
    for (Directory d : directories) {
      if (d.kind() == Directory.Kind.MAKER) {
        return d;
      }
    }
    return null;
  }

  void problem(String rule, String actual) {
    add(new Problem(null, rule, actual));
  }

  void problemAt(long offset, String rule, String actual) {
    add(new Problem(offset, rule, actual));
  }

  private void add(Problem p) {
    if (problems.size() < 20 && !problems.contains(p)) {
      problems.add(p);
    }
  }
}
