package samelight.samples.picture;

import java.awt.Polygon;
import java.awt.geom.Arc2D;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Rectangle2D;

/** Rooms of the invented paper mill. */
final class IndoorPlaces {

  private static final int W = Panorama.WIDTH;
  private static final int H = Panorama.HEIGHT;
  private static final int WARM = 0xFFE0B0;

  private IndoorPlaces() {}

  /** The loft towards its windows: plaster, curtains, floor boards. */
  static Panorama loftWindows(Canvas c) {
    c.wash(0, 0, W, 370, 0xB9B3A8, 0xCFC8BA);
    c.boards(0, 370, W, H - 370, 24, false, 0x8D7458, 0x9A8063, 0x846C52);
    for (double x : new double[] {120, 470, 820}) {
      c.window(x, 60, 150, 270, 0xDCE8F2, 0xEFEBE2, 2.3);
      c.drape(x - 52, 40, 46, 335, 0xDAD4C8, 0xC2BBAD);
      c.drape(x + 156, 40, 46, 335, 0xDAD4C8, 0xC2BBAD);
      c.halo(x + 75, 400, 130, 0.7);
    }
    c.rect(330, 270, 96, 104, 0x6F7F78, 1).rect(322, 240, 112, 40, 0x7A8B83, 1); // armchair
    c.rect(690, 250, 100, 8, 0x7A5D3F, 1).rect(700, 258, 8, 116, 0x7A5D3F, 1);
    c.rect(772, 258, 8, 116, 0x7A5D3F, 1);
    c.dabs(40, 715, 205, 50, 45, 5, 14, 0.95, 0xD9A3A0, 0xE8D6C8, 0x7E9A76, 0xB9707A);
    return c.finish(2);
  }

  /** The loft away from the windows: a painted wall, frames, a lamp. */
  static Panorama loftLamp(Canvas c) {
    c.wash(0, 0, W, 375, 0x5F6B66, 0x77827A);
    c.boards(0, 375, W, H - 375, 24, false, 0x7B6248, 0x86704F, 0x6F5940);
    c.rect(90, 80, 110, 140, 0xA98B5B, 1).rect(98, 88, 94, 124, 0xC9C0AC, 1);
    c.dabs(16, 108, 120, 70, 80, 8, 22, 0.7, 0x7F9A8A, 0x5E7486, 0xB58F6A);
    c.rect(250, 110, 80, 80, 0x4A3B2B, 1).rect(257, 117, 66, 66, 0xB4A98F, 1);
    c.rect(430, 120, 190, 255, 0x6B4F37, 1).rect(436, 126, 87, 243, 0x7A5B40, 1);
    c.rect(527, 126, 87, 243, 0x7A5B40, 1).disc(516, 250, 4, 0xC8A560, 1);
    c.drape(445, 140, 36, 190, 0xEDE8E0, 0xD3CCC1); // a dress on its hanger
    c.rect(700, 300, 260, 75, 0xD7CFC2, 1).rect(690, 250, 14, 125, 0x6B4F37, 1);
    c.rect(715, 282, 80, 26, 0xE7E2D8, 1).rect(700, 320, 260, 12, 0x93A096, 1);
    c.line(1020, 375, 1020, 180, 5, 0x3A3128, 1);
    c.fill(
        new Polygon(new int[] {985, 1055, 1040, 1000}, new int[] {190, 190, 120, 120}, 4), WARM, 1);
    c.halo(1020, 160, 150, 2.0).shining(new Rectangle2D.Double(992, 122, 56, 66), 2.6);
    c.halo(640, 40, 260, 0.5);
    return c.finish(2);
  }

  /** The boat house: tarred planks, a small blue window, ropes and oars. */
  static Panorama boathouse(Canvas c) {
    c.boards(0, 0, W, 380, 30, true, 0x77593C, 0x83653F, 0x6B5037, 0x8D6E4B);
    c.boards(0, 380, W, H - 380, 34, false, 0x5C4C3B, 0x665542);
    c.window(180, 110, 120, 150, 0xEDE6DA, 0x4A3A2A, 1.0).litSoftly(240, 330, 200, 0.45);
    c.window(860, 110, 120, 150, 0xEDE6DA, 0x4A3A2A, 1.0).litSoftly(920, 330, 200, 0.45);
    for (int i = 0; i < 4; i++) {
      c.line(420 + 16 * i, 60, 440 + 22 * i, 370, 7, 0xB58B55, 1);
      c.fill(new Ellipse2D.Double(428 + 22 * i, 300, 26, 76), 0xC7D0C9, 1);
    }
    for (int i = 0; i < 5; i++) {
      c.disc(620, 190, 42 - 6 * i, i % 2 == 0 ? 0xCBB58E : 0xA58D63, 1);
    }
    c.rect(690, 240, 130, 10, 0x4F3C29, 1);
    c.dabs(14, 695, 206, 120, 32, 8, 14, 1, 0x8FA6A0, 0xC9B37E, 0x4C6473, 0xB26E52);
    c.halo(540, 60, 300, 0.9);
    return c.finish(2);
  }

  /** The barn towards the arch of flowers. */
  static Panorama barnArch(Canvas c) {
    c.boards(0, 0, W, 370, 40, true, 0x6D5239, 0x785B40, 0x624932);
    c.boards(0, 370, W, H - 370, 28, false, 0x8B7458, 0x93805F);
    for (int i = 0; i < 4; i++) {
      c.rect(100 + 290 * i, 0, 26, 370, 0x4D3926, 1);
      c.line(126 + 290 * i, 60, 240 + 290 * i, 0, 16, 0x4D3926, 1);
    }
    for (int i = 0; i <= 46; i++) {
      double a = StrictMath.PI * i / 46;
      double x = 550 - 170 * StrictMath.cos(a);
      double y = 250 - 200 * StrictMath.sin(a);
      c.dabs(
          9, x - 26, y - 22, 52, 44, 5, 15, 0.95, 0xF1E7DC, 0xE3B7AE, 0x7C9A70, 0x5F7F5A, 0xC98A8E,
          0xF6EFE4);
    }
    for (int i = 0; i < 16; i++) {
      c.dabs(
          7, 360 + random(c, 18), 250 + 8 * i, 40, 14, 5, 14, 0.95, 0x7C9A70, 0xE3B7AE, 0xF1E7DC);
      c.dabs(
          7, 700 + random(c, 18), 250 + 8 * i, 40, 14, 5, 14, 0.95, 0x5F7F5A, 0xC98A8E, 0xF1E7DC);
    }
    c.drape(420, 80, 30, 290, 0xE9E4D9, 0xCBC3B4).drape(650, 80, 30, 290, 0xE9E4D9, 0xCBC3B4);
    for (double x : new double[] {60, 250, 860, 1040}) {
      c.disc(x, 120, 9, WARM, 1).halo(x, 120, 70, 1.8);
    }
    c.halo(550, 200, 320, 0.6);
    return c.finish(2);
  }

  /** The barn towards the guests: chairs, rows of people, windows high in the wall. */
  static Panorama barnGuests(Canvas c) {
    c.wash(0, 0, W, 300, 0x7B6A57, 0x94826B);
    c.boards(0, 300, W, H - 300, 26, false, 0x7F6A50, 0x897457);
    for (int i = 0; i < 5; i++) {
      c.window(60 + 215 * i, 40, 90, 120, 0xE4ECF2, 0x5A4632, 1.6);
      c.rect(180 + 215 * i, 0, 18, 300, 0x55412D, 1);
    }
    int[] clothes = {
      0x2E3A4A, 0x5A6F6A, 0xA86F5C, 0xC9B48E, 0x6B4A5C, 0x3D3A38, 0x8FA08C, 0xB98C7D
    };
    int[] skins = {0xE8C4A6, 0xC99A78, 0x8F6144, 0x5E3D2B, 0xDDB08C, 0x744B33};
    for (int row = 0; row < 3; row++) {
      for (int i = 0; i < 18; i++) {
        double x = 20 + 62 * i + 14 * row + random(c, 8);
        double y = 225 + 55 * row;
        c.fill(new Ellipse2D.Double(x - 22, y + 10, 44, 90), clothes[c.random.nextInt(8)], 1);
        c.fill(new Ellipse2D.Double(x - 11, y - 15, 22, 28), skins[c.random.nextInt(6)], 1);
        c.fill(
            new Arc2D.Double(x - 12, y - 17, 24, 26, 0, 180, 2),
            c.random.nextBoolean() ? 0x2B211B : 0x6B5136,
            1);
      }
    }
    return c.finish(3);
  }

  /** A laid table seen close, before the guests come. */
  static Panorama table(Canvas c) {
    c.wash(0, 0, W, 230, 0x4E453B, 0x6B5D4C);
    c.dabs(60, 0, 20, W, 180, 8, 26, 0.35, 0x8A7A5F, 0x5B6B58, 0xA58A63);
    for (int i = 0; i < 22; i++) {
      double x = 25 + 50 * i + random(c, 20);
      double y = 30 + random(c, 140);
      c.disc(x, y, 6 + random(c, 6), WARM, 0.9).halo(x, y, 26, 1.9);
    }
    c.wash(0, 230, W, H - 230, 0xCFC6B6, 0xDED7CA);
    for (int i = 0; i < 9; i++) {
      c.line(-40 + 140 * i, H, 60 + 120 * i, 230, 2, 0xB5AA97, 0.6);
    }
    c.rect(0, 300, W, 46, 0x8C9C86, 0.9);
    c.dabs(240, 0, 292, W, 56, 4, 14, 0.9, 0x6F8A66, 0x86A07A, 0xE9DAD0, 0xCB8F8C, 0xF2ECE2);
    return c.finish(4);
  }

  /** The hall at dinner: dark beams, candles, strings of lamps. */
  static Panorama hall(Canvas c) {
    c.wash(0, 0, W, 330, 0x54432F, 0x7A6246);
    c.boards(0, 330, W, H - 330, 26, false, 0x5E4B38, 0x68543F);
    for (int i = 0; i < 6; i++) {
      c.rect(50 + 200 * i, 0, 24, 330, 0x3E2F20, 1);
    }
    for (int i = 0; i < 6; i++) {
      c.stringLights(-20 + 200 * i, 40, 190 + 200 * i, 46, 40, 9, WARM);
    }
    for (int i = 0; i < 7; i++) {
      double x = 80 + 160 * i;
      c.rect(x - 66, 320, 132, 60, 0xCFC5B4, 1);
      c.dabs(16, x - 30, 292, 60, 34, 4, 11, 0.95, 0xE6D2C6, 0x7F9977, 0xC68E8B);
      c.rect(x - 46, 296, 6, 26, 0xF0E9DC, 1)
          .disc(x - 43, 291, 4, WARM, 1)
          .halo(x - 43, 291, 24, 2.2);
      c.rect(x + 40, 300, 6, 22, 0xF0E9DC, 1)
          .disc(x + 43, 295, 4, WARM, 1)
          .halo(x + 43, 295, 24, 2.2);
    }
    return c.finish(3);
  }

  /** The dance floor: dark, with pools of coloured light. */
  static Panorama danceFloor(Canvas c) {
    c.wash(0, 0, W, 320, 0x3A3640, 0x565060);
    c.wash(0, 320, W, H - 320, 0x4A4450, 0x6A6470);
    for (int i = 0; i < 5; i++) {
      c.stringLights(-40 + 240 * i, 24, 220 + 240 * i, 20, 58, 11, WARM);
    }
    for (int i = 0; i < 9; i++) {
      double x = 60 + 120 * i + random(c, 50);
      c.litSoftly(x, 120 + random(c, 200), 90 + random(c, 60), 0.95);
      c.fill(new Ellipse2D.Double(x - 60, 370 + random(c, 40), 140, 44), 0x9A94A0, 0.7);
      c.litSoftly(x, 390, 90, 0.9);
    }
    int[] clothes = {0x2E3A4A, 0x6B4A5C, 0x3D3A38, 0x5A6F6A, 0x7B5548};
    for (int i = 0; i < 24; i++) {
      double x = W * c.random.nextDouble();
      c.fill(
          new Ellipse2D.Double(x - 20, 215 + random(c, 30), 40, 170),
          clothes[c.random.nextInt(5)],
          0.9);
      c.fill(new Ellipse2D.Double(x - 10, 188 + random(c, 20), 20, 27), 0x8F6A54, 0.9);
    }
    return c.finish(5);
  }

  /** The bar beside the dance floor: bottles before a warm shelf. */
  static Panorama bar(Canvas c) {
    c.wash(0, 0, W, 330, 0x4B3A2C, 0x6B5440);
    for (int shelf = 0; shelf < 3; shelf++) {
      double y = 110 + 70 * shelf;
      c.rect(0, y, W, 8, 0x3A2A1C, 1);
      c.wash(0, y - 58, W, 58, 0x8C6A42, 0xB98C55);
      for (double x = 8; x < W; x += 17 + random(c, 8)) {
        int[] glass = {0x3E5B3C, 0x7A4A2A, 0x8FA6A0, 0xB99A4A, 0x5A2F33, 0x6E86A0};
        double h = 30 + random(c, 20);
        c.rect(x, y - h, 11, h, glass[c.random.nextInt(6)], 0.95);
        c.rect(x + 3.5, y - h - 11, 4, 12, 0xC9B48E, 0.95)
            .rect(x + 1.5, y - h + 3, 2, h - 8, 0xFFFFFF, 0.35);
      }
      c.halo(W * 0.25, y - 30, 240, 0.8).halo(W * 0.75, y - 30, 240, 0.8);
    }
    c.boards(0, 330, W, H - 330, 44, true, 0x5A4230, 0x64492F);
    c.rect(0, 318, W, 20, 0x8A6745, 1);
    return c.finish(3);
  }

  private static double random(Canvas c, double range) {
    return range * c.random.nextDouble();
  }
}
