package samelight.samples;

import java.util.Locale;
import java.util.Set;
import samelight.samples.day.Trouble;

/**
 * What shoot to make.
 *
 * @param seed any number; the same seed and options give the same bytes on one Java runtime
 * @param frames 1 to 1,000,000, brackets among them, companions and paired JPEGs beside them
 * @param kind kinds of file
 * @param bodies 2 or 3
 * @param width of the sensor's picture in pixels, 96 to 6000
 * @param height of the sensor's picture in pixels, 64 to 4000
 * @param troubles what makes matching hard, beyond the everyday
 * @param extras whether there are brackets, paired JPEGs, clips and voice notes
 * @param greyCard whether every frame shows a grey card
 * @param threads 1 to 64
 */
public record ShootOptions(
    long seed,
    int frames,
    Kind kind,
    int bodies,
    int width,
    int height,
    Set<Trouble> troubles,
    boolean extras,
    boolean greyCard,
    int threads) {

  /** Kinds of file in a shoot. */
  public enum Kind {
    /** All JPEG. */
    JPEG,
    /** All DNG. */
    DNG,
    /** The second body writes JPEG, the others DNG. */
    MIXED;

    /**
     * Kind of a name.
     *
     * @throws IllegalArgumentException if there is none of that name
     */
    public static Kind of(String word) {
      for (Kind k : values()) {
        if (k.name().toLowerCase(Locale.ROOT).equals(word)) {
          return k;
        }
      }
      throw new IllegalArgumentException("kind must be jpeg, dng or mixed, got " + word);
    }
  }

  /** Checks the ranges. */
  public ShootOptions {
    check(frames >= 1 && frames <= 1_000_000, "frames must be 1 to 1000000", frames);
    check(bodies == 2 || bodies == 3, "bodies must be 2 or 3", bodies);
    check(width >= 96 && width <= 6000, "width must be 96 to 6000 pixels", width);
    check(height >= 64 && height <= 4000, "height must be 64 to 4000 pixels", height);
    check(threads >= 1 && threads <= 64, "threads must be 1 to 64", threads);
    troubles = Set.copyOf(troubles);
  }

  /** An everyday shoot of 480 by 320 pixels without extras, on one thread. */
  public static ShootOptions of(long seed, int frames, Kind kind) {
    return new ShootOptions(seed, frames, kind, 2, 480, 320, Set.of(), false, false, 1);
  }

  /** The same with troubles. */
  public ShootOptions with(Set<Trouble> more) {
    return new ShootOptions(
        seed, frames, kind, bodies, width, height, more, extras, greyCard, threads);
  }

  /** The same with or without brackets, pairs and companions. */
  public ShootOptions withExtras(boolean yes) {
    return new ShootOptions(
        seed, frames, kind, bodies, width, height, troubles, yes, greyCard, threads);
  }

  /** The same with a grey card in every frame. */
  public ShootOptions withGreyCard() {
    return new ShootOptions(
        seed, frames, kind, bodies, width, height, troubles, extras, true, threads);
  }

  /** The same with a number of bodies. */
  public ShootOptions withBodies(int count) {
    return new ShootOptions(
        seed, frames, kind, count, width, height, troubles, extras, greyCard, threads);
  }

  private static void check(boolean ok, String rule, int value) {
    if (!ok) {
      throw new IllegalArgumentException(rule + ", got " + value);
    }
  }
}
