package samelight.engine.lighting;

import java.util.List;

/** Something that was at a time. */
interface Timed {
  /** On the shoot's clock. */
  double seconds();

  /**
   * What lies within reach of a time.
   *
   * @param all in the order of time
   */
  static <T extends Timed> List<T> around(List<T> all, double seconds, double reach) {
    return all.subList(
        firstFrom(all, seconds - reach), firstFrom(all, Math.nextUp(seconds + reach)));
  }

  /** Place of the first that isn't before a time. */
  private static int firstFrom(List<? extends Timed> all, double seconds) {
    int low = 0;
    int high = all.size();
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (all.get(middle).seconds() < seconds) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  }
}
