package samelight.samples.picture;

import java.awt.Polygon;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Rectangle2D;

/** The grounds of the invented paper mill. */
final class OutdoorPlaces {

  private static final int W = Panorama.WIDTH;
  private static final int H = Panorama.HEIGHT;

  private OutdoorPlaces() {}

  /** An avenue of lime trees. */
  static Panorama limeWalk(Canvas c) {
    c.wash(0, 0, W, 250, 0xB4C7B0, 0x86A072);
    c.wash(0, 250, W, H - 250, 0x7F9A5C, 0x91A96A);
    c.dabs(420, 0, 0, W, 240, 10, 44, 0.55, 0x5E7F45, 0x6F9150, 0x86A65E, 0x4D6B3D, 0x9DB872);
    for (int i = 0; i < 11; i++) {
      double x = 40 + 102 * i;
      c.rect(x, 90, 20, 220, 0x5B4A38, 0.9).rect(x, 90, 6, 220, 0x82705A, 0.6);
    }
    c.dabs(260, 0, 0, W, 150, 14, 50, 0.5, 0x4D6B3D, 0x5E7F45, 0x7B9C55);
    for (int i = 0; i < 46; i++) {
      double x = W * c.random.nextDouble();
      double y = 170 * c.random.nextDouble();
      double r = 4 + 7 * c.random.nextDouble();
      c.disc(x, y, r, 0xE8F0D8, 0.9).shining(new Ellipse2D.Double(x - r, y - r, 2 * r, 2 * r), 1.4);
    }
    c.fill(new Polygon(new int[] {360, 740, 600, 520}, new int[] {H, H, 255, 255}, 4), 0xC2B393, 1);
    c.dabs(300, 0, 290, W, 180, 3, 10, 0.35, 0x6D8A4C, 0xA6BB7C, 0xE9E4C8, 0x5E7F45);
    return c.finish(4);
  }

  /** The courtyard in the shade of the mill: a stone wall with ivy, gravel. */
  static Panorama courtyard(Canvas c) {
    c.stones(0, 0, W, 350, 0x7E776C, 0x9A9386, 0xA59D8F, 0x8E877B, 0xB0A797, 0x948A7A);
    c.wash(0, 350, W, H - 350, 0xB1A896, 0xC0B8A6);
    c.dabs(900, 0, 350, W, 125, 1.5, 4, 0.5, 0x958C7B, 0xD0C8B8, 0x8A8172);
    for (double x : new double[] {30, 300, 760, 990}) {
      c.dabs(170, x - 40, 0, 130, 330, 6, 17, 0.85, 0x4F6B41, 0x5F7D4C, 0x456039, 0x74915A);
    }
    c.rect(500, 130, 120, 220, 0x3F5A5C, 1).rect(508, 138, 50, 204, 0x4C6B6D, 1);
    c.rect(562, 138, 50, 204, 0x4C6B6D, 1).disc(556, 250, 4, 0xC8A560, 1);
    for (double x : new double[] {462, 628}) {
      c.rect(x, 300, 34, 50, 0xA4684A, 1);
      c.dabs(36, x - 12, 250, 58, 60, 6, 15, 0.95, 0x6F8F5E, 0x57764A, 0xE8DED0, 0xD08E8A);
    }
    return c.finish(1);
  }

  /** The terrace above the water. */
  static Panorama terrace(Canvas c) {
    c.wash(0, 0, W, 200, 0x9DBAD6, 0xD3DEE2);
    c.dabs(40, 0, 10, W, 130, 20, 70, 0.28, 0xF4F3EE, 0xFFFFFF);
    c.shining(new Rectangle2D.Double(0, 0, W, 200), 0.8);
    c.ridge(200, 60, 1.4, 0x8CA08F).ridge(212, 34, 2.3, 0x6C8763);
    c.wash(0, 208, W, 84, 0x8FAEC0, 0x7A9BAA);
    for (int i = 0; i < 90; i++) {
      double x = W * c.random.nextDouble();
      double y = 214 + 74 * c.random.nextDouble();
      c.line(x, y, x + 12 + 20 * c.random.nextDouble(), y, 1.6, 0xDDE9EC, 0.6);
    }
    c.wash(0, 340, W, H - 340, 0xC9BFAE, 0xB9AF9D);
    c.rect(0, 276, W, 14, 0xD9D2C4, 1).rect(0, 344, W, 12, 0xC7BFB0, 1);
    for (double x = 10; x < W; x += 34) {
      c.fill(new Ellipse2D.Double(x, 288, 17, 58), 0xD2CABB, 1);
    }
    for (double x : new double[] {150, 560, 930}) {
      c.line(x, 60, x, 380, 5, 0x8A7457, 1);
      c.fill(
          new Polygon(
              new int[] {(int) x - 120, (int) x + 120, (int) x}, new int[] {112, 112, 48}, 3),
          0xEDE6D8,
          1);
      c.rect(x - 120, 110, 240, 8, 0xD9CFBD, 1);
    }
    return c.finish(3);
  }

  /** The lake in the evening: low sun, reeds, hills. */
  static Panorama lake(Canvas c) {
    c.wash(0, 0, W, 230, 0xA9B4C6, 0xF0C99A);
    c.dabs(30, 0, 40, W, 120, 16, 60, 0.35, 0xF3D3AE, 0xE8B89A, 0xC9B6BC);
    c.shining(new Rectangle2D.Double(0, 0, W, 215), 0.7);
    c.disc(800, 186, 22, 0xFFF0CF, 1)
        .halo(800, 186, 130, 2.6)
        .shining(new Ellipse2D.Double(778, 164, 44, 44), 3.4);
    c.ridge(226, 66, 1.1, 0x8A7F86).ridge(236, 36, 2.1, 0x62655A);
    c.wash(0, 230, W, 120, 0xD8B694, 0x7F8C98);
    for (int i = 0; i < 150; i++) {
      double y = 236 + 110 * c.random.nextDouble();
      double x = W * c.random.nextDouble();
      c.line(x, y, x + 14 + 30 * c.random.nextDouble(), y, 1.5, 0xF3DDBE, 0.45);
      double sx = 800 + (c.random.nextDouble() - 0.5) * 90;
      c.line(sx, y, sx + 18, y, 2, 0xFFEBC4, 0.9);
    }
    c.halo(800, 280, 90, 1.2);
    c.wash(0, 346, W, H - 346, 0x7B7A4E, 0x8C8A58);
    for (int i = 0; i < 420; i++) {
      double x = W * c.random.nextDouble();
      double y = 350 + 110 * c.random.nextDouble();
      double h = 24 + 60 * c.random.nextDouble();
      c.line(
          x,
          y,
          x + 8 * (c.random.nextDouble() - 0.5),
          y - h,
          1.6,
          c.random.nextBoolean() ? 0xA89A5E : 0x6B6E45,
          0.8);
    }
    return c.finish(3);
  }
}
