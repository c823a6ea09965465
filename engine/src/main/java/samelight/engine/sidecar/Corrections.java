package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;

/**
 * Corrections to be made by hand, for a raw editor whose edits can't be carried: how many sixths of
 * a stop and how many mired to add to each frame so that it renders like its reference.
 */
public final class Corrections {
  /**
   * One frame's correction.
   *
   * @param group id of its group
   * @param frame path relative to the shoot
   * @param reference path of its reference
   * @param sixths sixths of a stop to add
   * @param mired mired to add
   * @param needsEyes whether a person should look
   */
  public record Correction(
      String group, String frame, String reference, int sixths, int mired, boolean needsEyes) {
    /** The stops in words, such as {@code +1 2/6}. */
    public String stops() {
      int whole = Math.abs(sixths) / 6;
      int rest = Math.abs(sixths) % 6;
      String sign = sixths < 0 ? "-" : "+";
      if (sixths == 0) {
        return "0";
      }
      return sign
          + (whole == 0 ? "" : String.valueOf(whole))
          + (whole > 0 && rest > 0 ? " " : "")
          + (rest == 0 ? "" : rest + "/6");
    }

    /** One line of the printed list. */
    public String line() {
      return String.format(
              Locale.ROOT,
              "%-8s %8s stop %+5d mired%s",
              frame.equals(reference) ? "ref" : "",
              stops(),
              mired,
              needsEyes ? "  needs eyes" : "")
          + "  "
          + frame;
    }
  }

  private Corrections() {}

  /** Corrections of all frames, by group, in the groups' order; frames without match left out. */
  public static List<Correction> of(List<LightingGroup> groups, Map<String, Match> matches) {
    List<Correction> list = new ArrayList<>();
    for (LightingGroup g : groups) {
      for (String f : g.frames()) {
        Match m = matches.get(f);
        if (m != null) {
          list.add(
              new Correction(
                  g.id(),
                  f,
                  g.reference(),
                  (int) Math.round(m.stops().stops() * 6),
                  (int) Math.round(m.mired().value()),
                  !m.needsEyes().isEmpty()));
        }
      }
    }
    return list;
  }
}
