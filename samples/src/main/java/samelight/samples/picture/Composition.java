package samelight.samples.picture;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.geom.Rectangle2D;
import java.util.List;
import java.util.Random;

/**
 * What one frame shows: a crop of a place and who stands in front of it.
 *
 * @param place the place
 * @param portrait whether the picture stands upright
 * @param centreX centre of the crop, 0 to 1 across the panorama's width
 * @param centreY centre of the crop, 0 to 1 across its height
 * @param scale panorama pixels per 1/480 of the picture's long side, 0.5 to 1.45
 * @param figures who stands there, from back to front
 * @param things still life, from back to front
 * @param litSide -1 if figures are lit from the left, +1 from the right
 * @param greyCard whether somebody holds a grey card of 18 % into the lower left corner
 */
public record Composition(
    Place place,
    boolean portrait,
    double centreX,
    double centreY,
    double scale,
    List<Placed> figures,
    List<PlacedThing> things,
    double litSide,
    boolean greyCard) {

  /** Code value of the grey card's surface: encoded 18 %. */
  private static final Color GREY_CARD = new Color(118, 118, 118);

  /** Share of each side of the picture that the grey card takes. */
  public static final double CARD_SHARE = 0.2;

  /**
   * A figure in the frame, in shares of the frame's width and height.
   *
   * @param figure who
   * @param x where the feet are, 0 left to 1 right
   * @param feet where the feet are, 0 top, 1 bottom, more for a close view
   * @param height height of an average grown-up in frame heights
   */
  public record Placed(Figure figure, double x, double feet, double height) {}

  /** A thing in the frame, in the same shares. */
  public record PlacedThing(StillLife thing, double x, double foot, double height) {}

  /** Copies the lists. */
  public Composition {
    figures = List.copyOf(figures);
    things = List.copyOf(things);
  }

  /** The same framing a moment later: a hand that moves, people who breathe. */
  public Composition moved(Random random, double amount) {
    double dx = amount * random.nextGaussian();
    double dy = 0.6 * amount * random.nextGaussian();
    double zoom = 1 + 0.4 * amount * random.nextGaussian();
    double shift = dx * Panorama.WIDTH / (480 * scale) * (portrait ? 1.5 : 1);
    List<Placed> people =
        figures.stream()
            .map(
                p ->
                    new Placed(
                        p.figure,
                        0.5 + (p.x - 0.5) / zoom - shift + 0.3 * amount * random.nextGaussian(),
                        p.feet - dy + 0.15 * amount * random.nextGaussian(),
                        p.height / zoom))
            .toList();
    List<PlacedThing> stuff =
        things.stream()
            .map(t -> new PlacedThing(t.thing, t.x - shift, t.foot - dy, t.height / zoom))
            .toList();
    return new Composition(
        place,
        portrait,
        centreX + dx,
        centreY + dy,
        Math.max(0.5, Math.min(1.45, scale * zoom)),
        people,
        stuff,
        litSide,
        greyCard);
  }

  /** Draws figures and things on a transparent surface of the picture's upright size. */
  void paint(Graphics2D g, int width, int height) {
    for (PlacedThing t : things) {
      t.thing.draw(g, t.x * width, t.foot * height, t.height * height);
    }
    FigurePainter painter = new FigurePainter(g, litSide);
    for (Placed p : figures) {
      painter.draw(p.figure, p.x * width, p.feet * height, p.height * height);
    }
    if (greyCard) {
      g.setPaint(GREY_CARD);
      g.fill(
          new Rectangle2D.Double(
              0, height * (1 - CARD_SHARE), width * CARD_SHARE, height * CARD_SHARE));
    }
  }
}
