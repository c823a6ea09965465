package samelight.engine.store;

import org.jspecify.annotations.Nullable;

/** The spelling of a path inside a shoot. Links are told apart where a path is used. */
final class RelativePath {
  static final String RULE =
      "must be a plain path inside the shoot, relative to it, with '/' between names";

  private RelativePath() {}

  /** What is wrong with a path, or null. */
  static @Nullable String wrong(String path) {
    if (path.isEmpty()) {
      return "an empty path";
    }
    boolean plain = !path.startsWith("/") && path.indexOf('\\') < 0 && path.indexOf('\0') < 0;
    int from = 0;
    while (plain && from <= path.length()) {
      int to = path.indexOf('/', from);
      to = to < 0 ? path.length() : to;
      String name = path.substring(from, to);
      plain = !name.isEmpty() && !name.equals(".") && !name.equals("..");
      from = to + 1;
    }
    boolean drive =
        path.length() >= 2 && path.charAt(1) == ':' && Character.isLetter(path.charAt(0));
    if (plain && !drive) {
      return null;
    }
    return "\"" + (path.length() > 200 ? path.substring(0, 200) + "..." : path) + "\"";
  }
}
