package samelight.cli;

import java.nio.file.Path;

/** Commands to be pasted into a terminal. */
final class Paste {
  private Paste() {}

  /** A word as a POSIX shell takes it: quoted where it has to be. */
  static String word(String text) {
    boolean plain = !text.isEmpty() && !text.startsWith("-");
    for (int i = 0; plain && i < text.length(); i++) {
      char c = text.charAt(i);
      plain = Character.isLetterOrDigit(c) || "_./:=+,@%-".indexOf(c) >= 0;
    }
    return plain ? text : "'" + text.replace("'", "'\\''") + "'";
  }

  /** A path as a word; absolute where it could be taken for an option. */
  static String word(Path path) {
    String text = path.toString();
    return word(text.startsWith("-") ? path.toAbsolutePath().toString() : text);
  }
}
