package samelight.engine.photometry;

/** How finely a body steps an exposure setting. */
public enum StepSet {
  /** Only whole stops were seen. */
  FULL("full stops", 1),
  /** Half stops. */
  HALF("half stops", 2),
  /** Third stops. */
  THIRD("third stops", 3),
  /** Sixth stops, as automatic sensitivity of some bodies goes. */
  SIXTH("sixth stops", 6),
  /** Marks follow no steps: values are what the camera measured or computed. */
  NONE("as read", 0);

  private final String words;
  private final int perStop;

  StepSet(String words, int perStop) {
    this.words = words;
    this.perStop = perStop;
  }

  /** In words, e.g. "third stops". */
  public String words() {
    return words;
  }

  /** Steps in one stop; 0 for {@link #NONE}. */
  public int perStop() {
    return perStop;
  }
}
