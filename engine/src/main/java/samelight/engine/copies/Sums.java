package samelight.engine.copies;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;

/**
 * The file {@code SHA256SUMS}: a line for each file, 64 hexadecimal digits, two spaces, the path.
 * As in GNU coreutils' {@code sha256sum}, a line with a backslash first has its path's backslashes,
 * line feeds and carriage returns written as {@code \\}, {@code \n} and {@code \r} (GNU coreutils
 * manual, "md5sum invocation").
 */
public final class Sums {
  /** Its name at the top of a copied shoot. */
  public static final String NAME = "SHA256SUMS";

  private static final int DIGITS = 64;

  private Sums() {}

  /** Whether a text is a SHA-256 as it is written here. */
  static boolean isHash(String text) {
    boolean hash = text.length() == DIGITS;
    for (int i = 0; hash && i < DIGITS; i++) {
      char c = text.charAt(i);
      hash = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
    }
    return hash;
  }

  /** Writes all lines, in the order of the paths. */
  public static void write(OutputStream to, SortedMap<String, String> hashes) throws IOException {
    BufferedWriter out = new BufferedWriter(new OutputStreamWriter(to, StandardCharsets.UTF_8));
    for (Map.Entry<String, String> e : hashes.entrySet()) {
      out.write(line(e.getKey(), e.getValue()));
    }
    out.flush();
  }

  static String line(String path, String hash) {
    String escaped = path.replace("\\", "\\\\").replace("\n", "\\n").replace("\r", "\\r");
    return (escaped.equals(path) ? "" : "\\") + hash + "  " + escaped + "\n";
  }

  /**
   * Reads such a file.
   *
   * @return the hash of each path
   * @throws RefusedInputException if it can't be read or a line isn't one
   */
  public static SortedMap<String, String> read(Path file) {
    SortedMap<String, String> hashes = new TreeMap<>();
    int number = 0;
    try {
      for (String line : Files.readAllLines(file, StandardCharsets.UTF_8)) {
        number++;
        if (line.isEmpty() || line.startsWith("#")) {
          continue;
        }
        boolean escaped = line.startsWith("\\");
        String rest = escaped ? line.substring(1) : line;
        boolean whole =
            rest.length() > DIGITS + 2
                && isHash(rest.substring(0, DIGITS).toLowerCase(java.util.Locale.ROOT))
                && rest.charAt(DIGITS) == ' '
                && (rest.charAt(DIGITS + 1) == ' ' || rest.charAt(DIGITS + 1) == '*');
        if (!whole) {
          throw refused(file, number, line);
        }
        String path = rest.substring(DIGITS + 2);
        hashes.put(
            escaped ? unescaped(path) : path,
            rest.substring(0, DIGITS).toLowerCase(java.util.Locale.ROOT));
      }
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(),
          "must be a list of checksums in UTF-8 that can be read",
          DurableFile.reasonOf(e),
          "Use the list of another copy",
          e);
    }
    return hashes;
  }

  private static String unescaped(String path) {
    StringBuilder out = new StringBuilder(path.length());
    for (int i = 0; i < path.length(); i++) {
      char c = path.charAt(i);
      if (c == '\\' && i + 1 < path.length()) {
        char next = path.charAt(++i);
        out.append(next == 'n' ? '\n' : next == 'r' ? '\r' : next);
      } else {
        out.append(c);
      }
    }
    return out.toString();
  }

  private static RefusedInputException refused(Path file, int number, String line) {
    String shown = line.length() > 80 ? line.substring(0, 80) + "..." : line;
    return new RefusedInputException(
        file.toString(),
        "line " + number + ": must be 64 hexadecimal digits, two spaces and a path",
        "\"" + shown + "\"",
        "Use the list of another copy");
  }
}
