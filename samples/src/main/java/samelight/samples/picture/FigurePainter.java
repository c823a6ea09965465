package samelight.samples.picture;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.GradientPaint;
import java.awt.Graphics2D;
import java.awt.Shape;
import java.awt.geom.AffineTransform;
import java.awt.geom.Arc2D;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;

/** Draws figures as flat, softly shaded shapes: one unit tall, feet at the origin, up negative. */
final class FigurePainter {

  private final Graphics2D g;
  private final double litSide;

  /**
   * A painter on a surface.
   *
   * @param litSide -1 if the light comes from the left, +1 from the right
   */
  FigurePainter(Graphics2D g, double litSide) {
    this.g = g;
    this.litSide = litSide;
  }

  /** Draws a figure with its feet at a point, a unit height tall, in pixels. */
  void draw(Figure f, double x, double feet, double height) {
    AffineTransform before = g.getTransform();
    g.translate(x, feet);
    double scale = height * f.tall();
    g.scale(scale, scale);
    behindHead(f);
    switch (f.role()) {
      case BRIDE -> gown(f, 0.27, true);
      case DRESS -> gown(f, 0.15, false);
      case SUIT -> suit(f);
    }
    head(f);
    if (f.role() == Figure.Role.BRIDE) {
      bouquet();
    }
    g.setTransform(before);
  }

  private void shaded(Shape s, int rgb, double half) {
    Color lit = scaled(rgb, 1.04);
    Color dark = scaled(rgb, 0.74);
    g.setPaint(
        new GradientPaint((float) (litSide * half), 0, lit, (float) (-litSide * half), 0, dark));
    g.fill(s);
  }

  private static Color scaled(int rgb, double k) {
    return new Color(
        channel(rgb >> 16 & 255, k), channel(rgb >> 8 & 255, k), channel(rgb & 255, k));
  }

  private static int channel(int v, double k) {
    return (int) Math.min(255, v * k);
  }

  private void stroke(
      double x0, double y0, double x1, double y1, double width, int rgb, double shade) {
    g.setPaint(scaled(rgb, shade));
    g.setStroke(new BasicStroke((float) width, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
    g.draw(new Line2D.Double(x0, y0, x1, y1));
  }

  private double shade(double side) {
    return side * litSide > 0 ? 1.0 : 0.78;
  }

  private void gown(Figure f, double hem, boolean bridal) {
    stroke(0, -0.86, 0, -0.80, 0.052, f.skin(), 0.86);
    shaded(new Ellipse2D.Double(-0.092, -0.835, 0.184, 0.09), f.skin(), 0.1);
    Path2D p = new Path2D.Double();
    p.moveTo(-0.082, -0.79);
    p.quadTo(-0.04, -0.755, 0, -0.775);
    p.quadTo(0.04, -0.755, 0.082, -0.79);
    p.quadTo(0.075, -0.68, 0.056, -0.625);
    p.curveTo(0.11, -0.5, hem * 0.8, -0.2, hem, 0);
    p.quadTo(0, 0.025, -hem, 0);
    p.curveTo(-hem * 0.8, -0.2, -0.11, -0.5, -0.056, -0.625);
    p.quadTo(-0.075, -0.68, -0.082, -0.79);
    p.closePath();
    shaded(p, f.cloth(), hem * 0.8);
    g.setPaint(new Color(0, 0, 0, bridal ? 18 : 34));
    g.setStroke(new BasicStroke(0.008f, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
    for (int i = -2; i <= 2; i++) {
      g.draw(new Line2D.Double(0.02 * i, -0.6, hem * 0.38 * i, -0.02));
    }
    g.setPaint(scaled(f.cloth(), bridal ? 0.86 : 0.7));
    g.fill(new Rectangle2D.Double(-0.057, -0.64, 0.114, 0.018));
    for (int side = -1; side <= 1; side += 2) {
      stroke(side * 0.09, -0.785, side * 0.118, -0.65, 0.036, f.skin(), shade(side));
      stroke(side * 0.118, -0.65, side * 0.045, -0.56, 0.032, f.skin(), shade(side));
    }
  }

  private void suit(Figure f) {
    for (int side = -1; side <= 1; side += 2) {
      Path2D leg = new Path2D.Double();
      leg.moveTo(0, -0.5);
      leg.lineTo(side * 0.088, -0.5);
      leg.lineTo(side * 0.078, -0.015);
      leg.lineTo(side * 0.026, -0.015);
      leg.closePath();
      g.setPaint(scaled(f.cloth(), 0.92 * shade(side)));
      g.fill(leg);
      g.setPaint(scaled(0x1A1512, 1));
      g.fill(new Ellipse2D.Double(side * 0.055 - 0.038, -0.026, 0.076, 0.03));
    }
    stroke(0, -0.86, 0, -0.81, 0.058, f.skin(), 0.84);
    Path2D p = new Path2D.Double();
    p.moveTo(-0.045, -0.835);
    p.quadTo(-0.115, -0.825, -0.122, -0.77);
    p.quadTo(-0.098, -0.63, -0.1, -0.465);
    p.lineTo(0.1, -0.465);
    p.quadTo(0.098, -0.63, 0.122, -0.77);
    p.quadTo(0.115, -0.825, 0.045, -0.835);
    p.closePath();
    shaded(p, f.cloth(), 0.12);
    Path2D shirt = new Path2D.Double();
    shirt.moveTo(-0.036, -0.84);
    shirt.lineTo(0.036, -0.84);
    shirt.lineTo(0.004, -0.66);
    shirt.closePath();
    g.setPaint(scaled(0xEDEBE6, 0.95));
    g.fill(shirt);
    Path2D tie = new Path2D.Double();
    tie.moveTo(-0.009, -0.825);
    tie.lineTo(0.009, -0.825);
    tie.lineTo(0.012, -0.72);
    tie.lineTo(0.002, -0.69);
    tie.lineTo(-0.006, -0.72);
    tie.closePath();
    g.setPaint(scaled(0x6B4A52, 1));
    g.fill(tie);
    g.setPaint(scaled(0xEAD9CF, 1));
    g.fill(new Ellipse2D.Double(0.05, -0.765, 0.022, 0.022));
    for (int side = -1; side <= 1; side += 2) {
      stroke(side * 0.108, -0.785, side * 0.138, -0.63, 0.054, f.cloth(), 0.95 * shade(side));
      stroke(side * 0.138, -0.63, side * 0.118, -0.5, 0.05, f.cloth(), 0.95 * shade(side));
      g.setPaint(scaled(f.skin(), shade(side)));
      g.fill(new Ellipse2D.Double(side * 0.114 - 0.022, -0.497, 0.044, 0.056));
    }
  }

  private void behindHead(Figure f) {
    if (f.role() == Figure.Role.BRIDE) {
      g.setPaint(new Color(0xF7, 0xF5, 0xF0, 105));
      Path2D veil = new Path2D.Double();
      veil.moveTo(0, -1.005);
      veil.curveTo(0.13, -0.98, 0.17, -0.6, 0.22, -0.12);
      veil.quadTo(0, -0.05, -0.22, -0.12);
      veil.curveTo(-0.17, -0.6, -0.13, -0.98, 0, -1.005);
      g.fill(veil);
    }
    if (f.hairStyle() == 1) {
      shaded(new Ellipse2D.Double(-0.072, -1.0, 0.144, 0.235), f.hair(), 0.07);
    }
  }

  private void head(Figure f) {
    for (int side = -1; side <= 1; side += 2) {
      g.setPaint(scaled(f.skin(), 0.92 * shade(side)));
      g.fill(new Ellipse2D.Double(side * 0.052 - 0.011, -0.945, 0.022, 0.034));
    }
    shaded(new Ellipse2D.Double(-0.053, -0.998, 0.106, 0.142), f.skin(), 0.055);
    if (f.hairStyle() == 3) {
      shaded(new Arc2D.Double(-0.064, -1.012, 0.128, 0.15, -12, 204, Arc2D.CHORD), f.cloth(), 0.06);
      shaded(new Ellipse2D.Double(-0.068, -0.9, 0.136, 0.085), f.cloth(), 0.06);
      shaded(new Ellipse2D.Double(-0.046, -0.975, 0.092, 0.118), f.skin(), 0.055);
    } else {
      shaded(new Arc2D.Double(-0.057, -1.008, 0.114, 0.112, 4, 172, Arc2D.CHORD), f.hair(), 0.06);
      if (f.hairStyle() == 2) {
        shaded(new Ellipse2D.Double(-0.032, -1.048, 0.064, 0.054), f.hair(), 0.04);
      }
    }
    g.setPaint(new Color(30, 18, 14, 210));
    for (int side = -1; side <= 1; side += 2) {
      g.fill(new Ellipse2D.Double(side * 0.021 - 0.0055, -0.935, 0.011, 0.011));
    }
    g.setPaint(new Color(120, 40, 40, 150));
    g.setStroke(new BasicStroke(0.006f, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
    g.draw(new Arc2D.Double(-0.018, -0.906, 0.036, 0.022, 200, 140, Arc2D.OPEN));
    g.setPaint(new Color(200, 90, 80, 26));
    for (int side = -1; side <= 1; side += 2) {
      g.fill(new Ellipse2D.Double(side * 0.03 - 0.012, -0.915, 0.024, 0.018));
    }
  }

  private void bouquet() {
    int[] petals = {0xF4E7E1, 0xDDA6A4, 0x7E9B74, 0xEFD2C6, 0xB87680, 0x69885F, 0xF7F0E8};
    for (int i = 0; i < 21; i++) {
      double a = i * 2.399963;
      double r = 0.014 * StrictMath.sqrt(i);
      g.setPaint(scaled(petals[i % petals.length], 0.96));
      g.fill(
          new Ellipse2D.Double(
              r * StrictMath.cos(a) - 0.019, -0.56 + r * StrictMath.sin(a) - 0.019, 0.038, 0.038));
    }
  }
}
