package samelight.samples.picture;

/** What there is to see, from one side. */
public enum Place {
  /** Loft, towards the windows. */
  LOFT_WINDOWS(-1),
  /** Loft, away from the windows. */
  LOFT_LAMP(1),
  /** Boat house. */
  BOATHOUSE(-1),
  /** Avenue of lime trees. */
  LIME_WALK(1),
  /** Barn, towards the arch of flowers. */
  BARN_ARCH(-1),
  /** Barn, towards the guests. */
  BARN_GUESTS(1),
  /** Courtyard in open shade. */
  COURTYARD(-1),
  /** Terrace above the water. */
  TERRACE(1),
  /** Laid table. */
  TABLE(-1),
  /** Lake in the evening. */
  LAKE(1),
  /** Hall at dinner. */
  HALL(-1),
  /** Dance floor. */
  DANCE_FLOOR(1),
  /** Bar beside the dance floor. */
  BAR(-1);

  private final int litSide;

  Place(int litSide) {
    this.litSide = litSide;
  }

  /** The side that people's light comes from: -1 left, +1 right. */
  public int litSide() {
    return litSide;
  }
}
