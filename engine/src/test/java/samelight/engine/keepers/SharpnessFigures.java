package samelight.engine.keepers;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.stream.Stream;
import javax.imageio.ImageIO;

/**
 * Pairs of one picture that differ by one visible step of blur, in which the sharper must be found:
 * Gaussian blur (sigma 0, 1, 2, 3 ... pixels of a preview of 1620) and motion (0, 4, 8, 12 pixels
 * along 0, 30, 45, 90, 120 degrees). The softer picture of each pair is half a stop darker or
 * brighter, both have noise of their own and are encoded again. And of those that are told soft,
 * how often motion and defocus are told apart.
 *
 * <p>{@code mvn -q -pl engine test-compile exec:java -Dexec.classpathScope=test
 * -Dexec.mainClass=samelight.engine.keepers.SharpnessFigures -Dexec.args="FOLDER 40"}: pictures,
 * and how many of them at most.
 */
public final class SharpnessFigures {
  private static final int SIDE = 1620;

  private SharpnessFigures() {}

  /** What was counted. */
  record Count(
      int gaussian, int gaussianRight, int motion, int motionRight, int told, int toldRight) {
    Count plus(Count o) {
      return new Count(
          gaussian + o.gaussian,
          gaussianRight + o.gaussianRight,
          motion + o.motion,
          motionRight + o.motionRight,
          told + o.told,
          toldRight + o.toldRight);
    }
  }

  /** Prints the shares. */
  public static void main(String[] args) throws IOException {
    Path temp = Files.createTempDirectory("sharpness-");
    List<Path> pictures;
    try (Stream<Path> files = Files.walk(Path.of(args[0]))) {
      pictures =
          files
              .filter(p -> p.toString().toLowerCase(Locale.ROOT).endsWith(".jpg"))
              .sorted()
              .toList();
    }
    int most = args.length > 1 ? Integer.parseInt(args[1]) : 40;
    Count all = new Count(0, 0, 0, 0, 0, 0);
    for (int i = 0; i < Math.min(most, pictures.size()); i++) {
      Path p = pictures.get((int) ((long) i * pictures.size() / Math.min(most, pictures.size())));
      all = all.plus(count(ImageIO.read(p.toFile()), SIDE, new Random(i), new Blurring(temp)));
    }
    Files.delete(temp);
    System.out.printf(
        Locale.ROOT,
        "Gaussian: right in %d of %d pairs (%.1f %%); motion: %d of %d (%.1f %%); kind of blur right"
            + " in %d of %d (%.1f %%)%n",
        all.gaussianRight,
        all.gaussian,
        100.0 * all.gaussianRight / all.gaussian,
        all.motionRight,
        all.motion,
        100.0 * all.motionRight / all.motion,
        all.toldRight,
        all.told,
        100.0 * all.toldRight / all.told);
  }

  /** Counts the pairs of one picture. */
  static Count count(BufferedImage image, int side, Random random, Blurring blurring)
      throws IOException {
    double[][] light = Blurring.linear(image, side);
    double unit = Math.max(light.length, light[0].length) / (double) SIDE;
    int gaussian = 0;
    int gaussianRight = 0;
    int motion = 0;
    int motionRight = 0;
    int told = 0;
    int toldRight = 0;
    Sharpness sharp = blurring.measured(light, 0, 1, random);
    List<double[][]> steps = new ArrayList<>();
    for (int k = 0; k < 5; k++) {
      steps.add(Blurring.gaussian(light, k * unit));
    }
    for (int k = 0; k + 1 < steps.size(); k++) {
      Sharpness a = blurring.measured(steps.get(k), 0, 1, random);
      Sharpness b =
          blurring.measured(steps.get(k + 1), random.nextBoolean() ? 0.5 : -0.5, 1, random);
      gaussian++;
      gaussianRight += a.value() > b.value() ? 1 : 0;
      if (k >= 1) {
        told++;
        toldRight += !b.moved(sharp) ? 1 : 0;
      }
    }
    for (int degrees : new int[] {0, 30, 45, 90, 120}) {
      Sharpness before = sharp;
      for (int k = 1; k <= 3; k++) {
        double[][] moved = Blurring.motion(light, 4 * k * unit, degrees);
        Sharpness b = blurring.measured(moved, random.nextBoolean() ? 0.5 : -0.5, 1, random);
        motion++;
        motionRight += before.value() > b.value() ? 1 : 0;
        if (k >= 2) {
          told++;
          toldRight += b.moved(sharp) ? 1 : 0;
        }
        before = b;
      }
    }
    return new Count(gaussian, gaussianRight, motion, motionRight, told, toldRight);
  }
}
