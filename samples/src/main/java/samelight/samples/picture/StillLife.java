package samelight.samples.picture;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.geom.AffineTransform;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;

/** Things on a table: flowers in a jar, a cake, a place setting. */
public enum StillLife {
  /** Flowers in a stone jar. */
  FLOWERS {
    @Override
    void draw(Graphics2D g) {
      g.setPaint(new Color(0x8F8578));
      g.fill(new Ellipse2D.Double(-0.16, -0.46, 0.32, 0.46));
      g.setPaint(new Color(0x6F675C));
      g.fill(new Ellipse2D.Double(0.02, -0.42, 0.13, 0.38));
      int[] petals = {0xF4E7E1, 0xD9908E, 0x7E9B74, 0xEFD2C6, 0xB0616C, 0x5F7F56, 0xF7F0E8};
      for (int i = 0; i < 64; i++) {
        double a = i * 2.399963;
        double r = 0.042 * StrictMath.sqrt(i);
        g.setPaint(new Color(petals[i % petals.length]));
        g.fill(
            new Ellipse2D.Double(
                r * StrictMath.cos(a) - 0.05,
                -0.68 + 0.8 * r * StrictMath.sin(a) - 0.05,
                0.1,
                0.1));
      }
    }
  },
  /** A white cake of three tiers. */
  CAKE {
    @Override
    void draw(Graphics2D g) {
      g.setPaint(new Color(0xB8AE9E));
      g.fill(new Ellipse2D.Double(-0.42, -0.07, 0.84, 0.12));
      double[] half = {0.34, 0.24, 0.14};
      for (int tier = 0; tier < 3; tier++) {
        double y = -0.04 - 0.27 * (tier + 1);
        g.setPaint(new Color(0xF3EFE7));
        g.fill(new Rectangle2D.Double(-half[tier], y, 2 * half[tier], 0.28));
        g.setPaint(new Color(0, 0, 0, 30));
        g.fill(new Rectangle2D.Double(half[tier] * 0.3, y, half[tier] * 0.7, 0.28));
        for (int i = 0; i < 9 - 2 * tier; i++) {
          g.setPaint(new Color(i % 2 == 0 ? 0xD9908E : 0x8DA583));
          double x = -half[tier] + 2 * half[tier] * i / (8.0 - 2 * tier);
          g.fill(new Ellipse2D.Double(x - 0.025, y + 0.235, 0.05, 0.05));
        }
      }
    }
  },
  /** Plate, napkin, glass. */
  SETTING {
    @Override
    void draw(Graphics2D g) {
      g.setPaint(new Color(0xE9E5DC));
      g.fill(new Ellipse2D.Double(-0.46, -0.3, 0.74, 0.3));
      g.setPaint(new Color(0xD5D0C5));
      g.fill(new Ellipse2D.Double(-0.37, -0.26, 0.56, 0.21));
      Path2D napkin = new Path2D.Double();
      napkin.moveTo(-0.25, -0.13);
      napkin.lineTo(-0.08, -0.36);
      napkin.lineTo(0.08, -0.13);
      napkin.closePath();
      g.setPaint(new Color(0x7F9886));
      g.fill(napkin);
      g.setPaint(new Color(255, 255, 255, 95));
      g.fill(new Ellipse2D.Double(0.3, -0.78, 0.22, 0.34));
      g.setPaint(new Color(150, 60, 66, 170));
      g.fill(new Ellipse2D.Double(0.315, -0.62, 0.19, 0.17));
      g.setPaint(new Color(255, 255, 255, 120));
      g.fill(new Rectangle2D.Double(0.4, -0.45, 0.02, 0.4));
      g.fill(new Ellipse2D.Double(0.32, -0.07, 0.18, 0.06));
    }
  };

  /** Draws it one unit tall, standing at the origin, up negative. */
  abstract void draw(Graphics2D g);

  void draw(Graphics2D g, double x, double foot, double height) {
    AffineTransform before = g.getTransform();
    g.translate(x, foot);
    g.scale(height, height);
    draw(g);
    g.setTransform(before);
  }
}
