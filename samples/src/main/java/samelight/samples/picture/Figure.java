package samelight.samples.picture;

import java.util.Random;

/**
 * A person of the invented party. Colours are sRGB of the surfaces themselves.
 *
 * @param role what they wear
 * @param skin colour of skin
 * @param hair colour of hair
 * @param cloth colour of dress or suit
 * @param hairStyle 0 short, 1 long, 2 bun, 3 scarf
 * @param tall height against an average grown-up, 0.5 to 1.2
 */
public record Figure(Role role, int skin, int hair, int cloth, int hairStyle, double tall) {

  /** Cut of the clothes. */
  public enum Role {
    /** White dress, veil, flowers. */
    BRIDE,
    /** Suit. */
    SUIT,
    /** Coloured dress. */
    DRESS
  }

  /**
   * Skin tones from light to deep, as sRGB of the surface: diffuse reflectances of about 0.50 down
   * to 0.04, chosen here by eye.
   */
  static final int[] SKINS = {
    0xF2D3BC, 0xE8BE9E, 0xDBA884, 0xC68D66, 0xAB7450, 0x8B5A3C, 0x6C432C, 0x4B2E20
  };

  private static final int[] HAIRS = {0x1D1713, 0x2E211A, 0x4A3323, 0x6E4E31, 0xA88352};
  private static final int GREY = 0x9A9791;
  private static final int[] SUITS = {0x22262E, 0x2B3444, 0x3B3A38, 0x4A4440, 0x5B5F66};
  private static final int[] DRESSES = {
    0x7F9C86, 0xB9705C, 0x6E4B68, 0xC9A15B, 0x4F6D8C, 0xA88A9C, 0x8C3F46, 0xD8C3B0, 0x3F6B66
  };

  /** Checks the range. */
  public Figure {
    if (!(tall >= 0.5 && tall <= 1.2)) {
      throw new IllegalArgumentException("a figure is 0.5 to 1.2 tall, got " + tall);
    }
  }

  /** The bride of a seed: the same person all day. */
  public static Figure bride(long seed) {
    Random r = new Random(seed ^ 0xB1DEL);
    int skin = r.nextInt(SKINS.length);
    return new Figure(Role.BRIDE, SKINS[skin], hair(r, skin), 0xF4F1EA, 1 + r.nextInt(2), 0.97);
  }

  /** The groom of a seed. */
  public static Figure groom(long seed) {
    Random r = new Random(seed ^ 0x6200L);
    int skin = r.nextInt(SKINS.length);
    return new Figure(Role.SUIT, SKINS[skin], hair(r, skin), 0x1E2127, 0, 1.04);
  }

  /** A bridesmaid: her own skin and hair, the dress they all wear. */
  public static Figure bridesmaid(Random r) {
    int skin = r.nextInt(SKINS.length);
    return new Figure(Role.DRESS, SKINS[skin], hair(r, skin), 0x8FA893, r.nextInt(3), 0.96);
  }

  /** A guest, one in six a child. */
  public static Figure guest(Random r) {
    double tall = r.nextInt(6) == 0 ? 0.6 + 0.15 * r.nextDouble() : 0.92 + 0.15 * r.nextDouble();
    int skin = r.nextInt(SKINS.length);
    int hair = tall > 0.8 && r.nextInt(5) == 0 ? GREY : hair(r, skin);
    return r.nextBoolean()
        ? new Figure(Role.SUIT, SKINS[skin], hair, pick(r, SUITS), 0, tall)
        : new Figure(Role.DRESS, SKINS[skin], hair, pick(r, DRESSES), r.nextInt(4), tall);
  }

  private static int hair(Random r, int skin) {
    return HAIRS[r.nextInt(skin < 3 ? HAIRS.length : 3)];
  }

  private static int pick(Random r, int[] from) {
    return from[r.nextInt(from.length)];
  }
}
