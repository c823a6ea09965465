package samelight.samples.day;

import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;

/** What makes a match harder than an everyday one. Off unless asked for. */
public enum Trouble {
  /** A second lens that passes less light than its marks say. */
  LENS,
  /** Turned round in one place: settings stay, the face has two stops less light. */
  BACKLIGHT,
  /** A face between window and lamp, their shares different in every framing. */
  MIXED,
  /** Lamps on the mains at times shorter than their period. */
  FLICKER,
  /** The same lamps under an electronic shutter: bands across the frame. */
  BANDED,
  /** Lamps off the Planckian locus. */
  DUV,
  /** A neutral-density filter of three stops, put on for a while. */
  FILTER,
  /** The second body's colour matrices read the same light at another temperature. */
  PROFILE,
  /** A flash that mostly hasn't recycled in a burst: the camera says it fired, and it is dark. */
  SPENT;

  /** Name on the command line and in the truth file. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }

  /**
   * Trouble of a name.
   *
   * @throws IllegalArgumentException if there is none of that name
   */
  public static Trouble of(String word) {
    for (Trouble t : values()) {
      if (t.word().equals(word)) {
        return t;
      }
    }
    throw new IllegalArgumentException(
        "trouble must be one of "
            + Arrays.stream(values()).map(Trouble::word).collect(Collectors.joining(", "))
            + ", got "
            + word);
  }

  /**
   * Troubles of several names; "all" is every one.
   *
   * @throws IllegalArgumentException if there is none of a name
   */
  public static Set<Trouble> all(List<String> words) {
    Set<Trouble> set = EnumSet.noneOf(Trouble.class);
    for (String w : words) {
      if (w.equals("all")) {
        return EnumSet.allOf(Trouble.class);
      }
      set.add(of(w));
    }
    return set;
  }
}
