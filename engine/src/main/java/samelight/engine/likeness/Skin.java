package samelight.engine.likeness;

import java.util.Arrays;

/**
 * Finds what has the colour of skin in a picture whose white is balanced, and how brightly it is
 * rendered. Skin of all tones lies in one narrow range of chroma: blood and melanin reflect red
 * more than green and green more than blue, and how much melanin there is moves lightness far more
 * than chroma (the skin locus, [STORRING99]). Wood and sand lie there too: the result is a witness,
 * to be compared between pictures of one place, and never a number to expose by.
 */
final class Skin {
  /** Range of log2 red over green, linear light. */
  private static final double RED_LEAST = 0.4;

  private static final double RED_MOST = 1.6;

  /** Range of log2 blue over green, linear light. */
  private static final double BLUE_LEAST = -1.6;

  private static final double BLUE_MOST = -0.2;

  /** Less of a picture than this isn't a face that anyone looks at. */
  private static final double LEAST_SHARE = 0.003;

  /** Lit skin is its brighter part: hair, shadows and wood are darker. */
  private static final double LIT = 0.85;

  private static final float DARKEST = -9;

  private Skin() {}

  /** Level of lit skin, log2 green of full scale, or NaN. */
  static double level(Plane red, Plane green, Plane blue) {
    float[] found = new float[green.v.length];
    int n = 0;
    for (int i = 0; i < found.length; i++) {
      if (green.v[i] > DARKEST && is(red.v[i] - green.v[i], blue.v[i] - green.v[i])) {
        found[n++] = green.v[i];
      }
    }
    if (n < LEAST_SHARE * found.length) {
      return Double.NaN;
    }
    Arrays.sort(found, 0, n);
    return found[(int) (LIT * (n - 1))];
  }

  /**
   * Whether a colour may be skin.
   *
   * @param redGreen log2 of red over green, linear light
   * @param blueGreen log2 of blue over green, linear light
   */
  static boolean is(double redGreen, double blueGreen) {
    return redGreen > RED_LEAST
        && redGreen < RED_MOST
        && blueGreen > BLUE_LEAST
        && blueGreen < BLUE_MOST;
  }
}
