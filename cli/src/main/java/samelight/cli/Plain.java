package samelight.cli;

/** Text from files, made harmless for a terminal. */
final class Plain {
  private Plain() {}

  /**
   * The text with each character that could control a terminal or turn the writing direction
   * replaced by its code in brackets, such as {@code <1B>}.
   */
  static String text(String s) {
    StringBuilder plain = null;
    for (int i = 0; i < s.length(); i++) {
      char c = s.charAt(i);
      boolean harmless = !controls(c) && !loneSurrogate(s, i);
      if (!harmless && plain == null) {
        plain = new StringBuilder(s.length() + 16).append(s, 0, i);
      }
      if (plain != null) {
        if (harmless) {
          plain.append(c);
        } else {
          plain
              .append('<')
              .append(Integer.toHexString(c).toUpperCase(java.util.Locale.ROOT))
              .append('>');
        }
      }
    }
    return plain == null ? s : plain.toString();
  }

  private static boolean controls(char c) {
    return switch (Character.getType(c)) {
      case Character.CONTROL,
          Character.FORMAT,
          Character.LINE_SEPARATOR,
          Character.PARAGRAPH_SEPARATOR ->
          c != '\u200D'; // joins emoji, moves nothing
      default -> false;
    };
  }

  private static boolean loneSurrogate(String s, int i) {
    char c = s.charAt(i);
    if (Character.isHighSurrogate(c)) {
      return i + 1 >= s.length() || !Character.isLowSurrogate(s.charAt(i + 1));
    }
    return Character.isLowSurrogate(c) && (i == 0 || !Character.isHighSurrogate(s.charAt(i - 1)));
  }
}
