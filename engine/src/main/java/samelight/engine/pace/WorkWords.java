package samelight.engine.pace;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** What is to be done, in words. */
public final class WorkWords {
  private WorkWords() {}

  /**
   * Such as {@code 3 references, 12 framings that need eyes (20 frames), 140 frames to look at}.
   */
  public static String of(List<Item> items) {
    WorkCount count = WorkCount.of(items);
    List<String> parts = new ArrayList<>();
    add(parts, count.references(), "reference to grade", "references to grade");
    if (count.framings() > 0) {
      String frames =
          count.eyes() == count.framings()
              ? ""
              : String.format(Locale.ROOT, " (%,d frames)", count.eyes());
      add(parts, count.framings(), "framing that needs eyes", "framings that need eyes");
      parts.set(parts.size() - 1, parts.get(parts.size() - 1) + frames);
    }
    add(parts, count.look(), "frame to look through", "frames to look through");
    return parts.isEmpty() ? "nothing" : String.join(", ", parts);
  }

  private static void add(List<String> parts, int n, String one, String many) {
    if (n > 0) {
      parts.add(String.format(Locale.ROOT, "%,d %s", n, n == 1 ? one : many));
    }
  }
}
