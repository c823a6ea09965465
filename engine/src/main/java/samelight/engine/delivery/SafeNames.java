package samelight.engine.delivery;

import java.text.Normalizer;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;

/**
 * Names of files and folders that Windows, macOS and Linux all take. Windows' rules are the
 * narrowest (Microsoft, <i>Naming Files, Paths, and Namespaces</i>, from memory): none of {@code <
 * > : " / \ | ? *}, no control characters, no dot or space at the end, none of the names of
 * devices. macOS may compose and decompose letters and ignores case, so names are composed (Unicode
 * Standard Annex 15, form C) and told apart without regard to case.
 */
final class SafeNames {
  private static final int LONGEST = 60;
  private static final String FORBIDDEN = "<>:\"/\\|?*";
  private static final Set<String> DEVICES = devices();

  private SafeNames() {}

  private static Set<String> devices() {
    Set<String> names = new TreeSet<>(Set.of("con", "prn", "aux", "nul"));
    for (int i = 0; i <= 9; i++) {
      names.add("com" + i);
      names.add("lpt" + i);
    }
    return names;
  }

  /**
   * A name for a folder.
   *
   * @param name what a person called it
   * @param otherwise what to take where nothing is left
   */
  static String of(String name, String otherwise) {
    StringBuilder out = new StringBuilder();
    Normalizer.normalize(name, Normalizer.Form.NFC)
        .codePoints()
        .forEach(
            c -> {
              int type = Character.getType(c);
              boolean text =
                  type != Character.CONTROL
                      && type != Character.FORMAT
                      && type != Character.SURROGATE
                      && type != Character.PRIVATE_USE
                      && type != Character.UNASSIGNED
                      && type != Character.LINE_SEPARATOR
                      && type != Character.PARAGRAPH_SEPARATOR;
              if (FORBIDDEN.indexOf(c) >= 0) {
                out.append('-');
              } else if (Character.isSpaceChar(c) || Character.isWhitespace(c)) {
                out.append(' ');
              } else if (text) {
                out.appendCodePoint(c);
              }
            });
    String safe = out.toString().replaceAll(" {2,}", " ");
    if (safe.codePointCount(0, safe.length()) > LONGEST) {
      safe = safe.substring(0, safe.offsetByCodePoints(0, LONGEST));
    }
    safe = safe.replaceAll("^[. -]+|[. -]+$", "");
    int dot = safe.indexOf('.');
    String first = (dot < 0 ? safe : safe.substring(0, dot)).toLowerCase(Locale.ROOT);
    if (DEVICES.contains(first.strip())) {
      safe = "_" + safe;
    }
    return safe.isEmpty() ? otherwise : safe;
  }

  /** What is left of a variant: letters, digits and hyphens between them. */
  static String variant(String variant) {
    String plain = Normalizer.normalize(variant, Normalizer.Form.NFC);
    String safe = plain.replaceAll("[^\\p{L}\\p{M}\\p{N}]+", "-").replaceAll("^-+|-+$", "");
    return safe.codePointCount(0, safe.length()) > 30
        ? safe.substring(0, safe.offsetByCodePoints(0, 30))
        : safe;
  }
}
