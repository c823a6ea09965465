package samelight.samples.picture;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.GradientPaint;
import java.awt.Graphics2D;
import java.awt.RadialGradientPaint;
import java.awt.RenderingHints;
import java.awt.Shape;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.util.Random;

/**
 * Brushes for painting a place: surfaces, brightness beyond white, and where another light falls.
 */
final class Canvas {

  private static final int W = Panorama.WIDTH;
  private static final int H = Panorama.HEIGHT;

  final Random random;
  private final BufferedImage colour = new BufferedImage(W, H, BufferedImage.TYPE_INT_RGB);
  private final BufferedImage boost = new BufferedImage(W, H, BufferedImage.TYPE_INT_RGB);
  private final BufferedImage other = new BufferedImage(W, H, BufferedImage.TYPE_INT_RGB);
  private final Graphics2D paint = brush(colour);
  private final Graphics2D shine = brush(boost);
  private final Graphics2D tint = brush(other);

  Canvas(long seed) {
    random = new Random(seed);
  }

  private static Graphics2D brush(BufferedImage image) {
    Graphics2D g = image.createGraphics();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    return g;
  }

  Panorama finish(int blur) {
    paint.dispose();
    shine.dispose();
    tint.dispose();
    return new Panorama(colour, boost, other, blur);
  }

  static Color rgb(int rgb, double alpha) {
    return new Color(rgb >> 16 & 255, rgb >> 8 & 255, rgb & 255, (int) (255 * alpha));
  }

  Canvas wash(double x, double y, double w, double h, int top, int bottom) {
    paint.setPaint(
        new GradientPaint(0, (float) y, rgb(top, 1), 0, (float) (y + h), rgb(bottom, 1)));
    paint.fill(new Rectangle2D.Double(x, y, w, h));
    return this;
  }

  Canvas fill(Shape shape, int rgb, double alpha) {
    paint.setPaint(rgb(rgb, alpha));
    paint.fill(shape);
    return this;
  }

  Canvas rect(double x, double y, double w, double h, int rgb, double alpha) {
    return fill(new Rectangle2D.Double(x, y, w, h), rgb, alpha);
  }

  Canvas disc(double x, double y, double r, int rgb, double alpha) {
    return fill(new Ellipse2D.Double(x - r, y - r, 2 * r, 2 * r), rgb, alpha);
  }

  Canvas line(double x0, double y0, double x1, double y1, double width, int rgb, double alpha) {
    paint.setPaint(rgb(rgb, alpha));
    paint.setStroke(new BasicStroke((float) width, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
    paint.draw(new Line2D.Double(x0, y0, x1, y1));
    return this;
  }

  /** A shape that shines: {@code stops} above white, 0 to 5. */
  Canvas shining(Shape shape, double stops) {
    int v = (int) Math.min(255, stops * 51);
    shine.setPaint(new Color(v, v, v));
    shine.fill(shape);
    return this;
  }

  /** A soft halo of light: brighter towards its centre. */
  Canvas halo(double x, double y, double r, double stops) {
    int v = (int) Math.min(255, stops * 51);
    shine.setPaint(
        new RadialGradientPaint(
            (float) x,
            (float) y,
            (float) r,
            new float[] {0, 0.35f, 1},
            new Color[] {new Color(v, v, v, 255), new Color(v, v, v, 110), new Color(v, v, v, 0)}));
    shine.fill(new Ellipse2D.Double(x - r, y - r, 2 * r, 2 * r));
    return this;
  }

  /** Where the other light falls. */
  Canvas lit(Shape shape, double share) {
    int v = (int) (255 * share);
    tint.setPaint(new Color(v, v, v));
    tint.fill(shape);
    return this;
  }

  /** Where the other light falls softly. */
  Canvas litSoftly(double x, double y, double r, double share) {
    tint.setPaint(
        new RadialGradientPaint(
            (float) x,
            (float) y,
            (float) r,
            new float[] {0, 1},
            new Color[] {
              new Color(255, 255, 255, (int) (255 * share)), new Color(255, 255, 255, 0)
            }));
    tint.fill(new Ellipse2D.Double(x - r, y - r, 2 * r, 2 * r));
    return this;
  }

  /** Loose dabs, as of leaves or flowers. */
  Canvas dabs(
      int n,
      double x,
      double y,
      double w,
      double h,
      double least,
      double most,
      double alpha,
      int... palette) {
    for (int i = 0; i < n; i++) {
      double r = least + (most - least) * random.nextDouble() * random.nextDouble();
      double cx = x + w * random.nextDouble();
      double cy = y + h * random.nextDouble();
      paint.setPaint(rgb(palette[random.nextInt(palette.length)], alpha));
      paint.fill(
          new Ellipse2D.Double(cx - r, cy - r * (0.5 + 0.5 * random.nextDouble()), 2 * r, 1.6 * r));
    }
    return this;
  }

  /** Vertical or horizontal boards with seams. */
  Canvas boards(
      double x, double y, double w, double h, double board, boolean upright, int... palette) {
    double length = upright ? w : h;
    for (double at = 0; at < length; at += board) {
      int c = palette[random.nextInt(palette.length)];
      double b = Math.min(board, length - at);
      if (upright) {
        rect(x + at, y, b, h, c, 1).rect(x + at + b - 1.5, y, 1.5, h, 0x000000, 0.28);
      } else {
        rect(x, y + at, w, b, c, 1).rect(x, y + at + b - 1.5, w, 1.5, 0x000000, 0.28);
      }
    }
    for (int i = 0; i < w * h / 900; i++) {
      double px = x + w * random.nextDouble();
      double py = y + h * random.nextDouble();
      double d = 12 + 40 * random.nextDouble();
      double dx = upright ? 0 : Math.min(d, x + w - px);
      double dy = upright ? Math.min(d, y + h - py) : 0;
      line(px, py, px + dx, py + dy, 1, random.nextBoolean() ? 0x000000 : 0xFFFFFF, 0.05);
    }
    return this;
  }

  /** Courses of uneven stones. */
  Canvas stones(double x, double y, double w, double h, int joint, int... palette) {
    rect(x, y, w, h, joint, 1);
    for (double at = y; at < y + h; ) {
      double height = 20 + 14 * random.nextDouble();
      for (double ax = x - 30 * random.nextDouble(); ax < x + w; ) {
        double width = 28 + 46 * random.nextDouble();
        double left = Math.max(x, ax + 1.5);
        double right = Math.min(x + w, ax + width - 1.5);
        double low = Math.min(y + h, at + height - 1.5);
        if (right > left && low > at + 1.5) {
          rect(
              left,
              at + 1.5,
              right - left,
              low - at - 1.5,
              palette[random.nextInt(palette.length)],
              1);
          rect(left, at + 1.5, right - left, 2, 0xFFFFFF, 0.10);
        }
        ax += width;
      }
      at += height;
    }
    return this;
  }

  /** A hanging line of small lamps between two points. */
  Canvas stringLights(double x0, double y0, double x1, double y1, double sag, int n, int rgb) {
    double px = x0;
    double py = y0;
    for (int i = 1; i <= n; i++) {
      double t = i / (double) n;
      double x = x0 + (x1 - x0) * t;
      double y = y0 + (y1 - y0) * t + sag * 4 * t * (1 - t);
      line(px, py, x, y, 1.2, 0x1A1612, 0.8);
      disc(x, y + 4, 4.2, rgb, 1);
      halo(x, y + 4, 13, 2.6);
      shining(new Ellipse2D.Double(x - 4, y, 8, 8), 3.4);
      px = x;
      py = y;
    }
    return this;
  }

  /** A tall window: panes that shine with the other light, a frame, a sill. */
  Canvas window(double x, double y, double w, double h, int pane, int frame, double stops) {
    Shape glass = new Rectangle2D.Double(x, y, w, h);
    wash(x, y, w, h, pane, 0xE3ECE4);
    dabs(26, x, y + h * 0.55, w, h * 0.4, 6, 22, 0.35, 0xA9C29A, 0xC3D4AE, 0xB8CDB9);
    rect(x, y + h * 0.98, w, h * 0.04, 0xF2EEE6, 1);
    shining(glass, stops).lit(glass, 1);
    paint.setPaint(rgb(frame, 1));
    paint.setStroke(new BasicStroke(7));
    paint.draw(glass);
    paint.setStroke(new BasicStroke(4));
    paint.draw(new Line2D.Double(x + w / 2, y, x + w / 2, y + h));
    paint.draw(new Line2D.Double(x, y + h * 0.36, x + w, y + h * 0.36));
    return this;
  }

  /** A cloth that hangs: soft folds from top to bottom. */
  Canvas drape(double x, double y, double w, double h, int light, int dark) {
    for (double at = 0; at < w; at += 9) {
      Color a = rgb(random.nextBoolean() ? light : dark, 1);
      paint.setPaint(
          new GradientPaint((float) (x + at), 0, a, (float) (x + at + 9), 0, rgb(light, 1)));
      paint.fill(new Rectangle2D.Double(x + at, y, Math.min(9, w - at) + 0.5, h));
    }
    return this;
  }

  /** A hill or a roof line across the whole width. */
  Canvas ridge(double base, double height, double waves, int rgb) {
    Path2D p = new Path2D.Double();
    p.moveTo(0, H);
    double phase = 6 * random.nextDouble();
    for (int x = 0; x <= W; x += 10) {
      double t = x / (double) W;
      p.lineTo(
          x,
          base
              - height
                  * (0.5
                      + 0.35 * StrictMath.sin(phase + waves * t * 6)
                      + 0.15 * StrictMath.sin(2 * phase + waves * t * 17)));
    }
    p.lineTo(W, H);
    p.closePath();
    return fill(p, rgb, 1);
  }
}
