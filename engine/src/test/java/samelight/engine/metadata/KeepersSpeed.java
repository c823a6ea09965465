package samelight.engine.metadata;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import javax.imageio.ImageIO;
import samelight.engine.keepers.Sharpness;

/**
 * Processor time of one preview of 1620 x 1080, split: reading the bytes, decoding the luma at the
 * size that sharpness needs (1/2), measuring; the 1/8 brightness image; and native decoding of the
 * same files at the same scales in the same run, {@code djpeg -grayscale -scale 1/2} and {@code
 * djpeg -scale 1/8} of libjpeg-turbo, several files one after another in one shell, less the time
 * of as many starts that decode a picture of 8 x 8. Medians of rounds.
 *
 * <p>{@code mvn -q -pl engine test-compile exec:java -Dexec.classpathScope=test
 * -Dexec.mainClass=samelight.engine.metadata.KeepersSpeed -Dexec.args="PICTURE 4000"}: a JPEG of
 * which previews are made, and how many. Needs djpeg.
 */
public final class KeepersSpeed {
  private static final int ROUNDS = 5;
  private static final int NATIVE = 200;
  private static final ThreadMXBean THREADS = ManagementFactory.getThreadMXBean();

  private KeepersSpeed() {}

  /** Prints the figures. */
  public static void main(String[] args) throws Exception {
    Path folder = Files.createTempDirectory("keepers-speed-");
    int count = args.length > 1 ? Integer.parseInt(args[1]) : 4000;
    List<Path> files = previews(ImageIO.read(Path.of(args[0]).toFile()), folder);
    Path tiny =
        Files.write(
            folder.resolve("tiny.jpg"),
            ReducedJpegTest.encode(
                new BufferedImage(8, 8, BufferedImage.TYPE_INT_RGB), 0.9f, false));
    ours(files, 400); // compiled by then
    List<double[]> rounds = new ArrayList<>();
    for (int r = 0; r < ROUNDS; r++) {
      double[] own = ours(files, count / ROUNDS);
      double start = djpeg(List.of(tiny), "-grayscale -scale 1/2");
      double half = djpeg(files, "-grayscale -scale 1/2") - start;
      double eighth = djpeg(files, "-scale 1/8") - start;
      rounds.add(
          new double[] {
            own[0], own[1], own[2], own[3], half, eighth, own[1] / half, own[3] / eighth
          });
    }
    double[] m = new double[8];
    for (int i = 0; i < m.length; i++) {
      int column = i;
      m[i] = rounds.stream().mapToDouble(x -> x[column]).sorted().toArray()[ROUNDS / 2];
    }
    System.out.printf(
        Locale.ROOT,
        "a frame, ms: read %.2f, decode at 1/2 %.2f, measure %.2f; 1/8 image %.2f; native 1/2 %.2f,"
            + " 1/8 %.2f; ratios %.2f and %.2f%n",
        m[0],
        m[1],
        m[2],
        m[3],
        m[4],
        m[5],
        m[6],
        m[7]);
    for (Path p : files) {
      Files.delete(p);
    }
    Files.delete(tiny);
    Files.delete(folder);
  }

  private static List<Path> previews(BufferedImage image, Path folder) throws IOException {
    List<Path> out = new ArrayList<>();
    for (int i = 0; i < 8; i++) {
      BufferedImage p = new BufferedImage(1620, 1080, BufferedImage.TYPE_INT_RGB);
      for (int y = 0; y < 1080; y++) {
        for (int x = 0; x < 1620; x++) {
          p.setRGB(
              x,
              y,
              image.getRGB(
                  Math.min(image.getWidth() - 1, (x + 5 * i) * image.getWidth() / 1660),
                  Math.min(image.getHeight() - 1, (y + 3 * i) * image.getHeight() / 1104)));
        }
      }
      out.add(
          Files.write(
              folder.resolve("preview-" + i + ".jpg"), ReducedJpegTest.encode(p, 0.85f, false)));
    }
    return out;
  }

  /** Milliseconds a frame: read, decode at 1/2, measure, decode at 1/8. */
  private static double[] ours(List<Path> files, int count) throws IOException {
    double[] sum = new double[4];
    for (int i = 0; i < count; i++) {
      long a = THREADS.getCurrentThreadCpuTime();
      byte[] bytes = Files.readAllBytes(files.get(i % files.size()));
      long b = THREADS.getCurrentThreadCpuTime();
      ReducedJpeg.Pixels p =
          ReducedJpeg.luma(ByteSource.memory(bytes, new Budget()), 0, bytes.length, 800);
      long c = THREADS.getCurrentThreadCpuTime();
      Sharpness s = Sharpness.of(new Luma(p.width(), p.height(), p.rgb()), Double.NaN, Double.NaN);
      long d = THREADS.getCurrentThreadCpuTime();
      ReducedJpeg.Pixels q =
          ReducedJpeg.decode(ByteSource.memory(bytes, new Budget()), 0, bytes.length, 100);
      long e = THREADS.getCurrentThreadCpuTime();
      if (p.width() != 810 || q.width() != 203 || s.value() <= 0) {
        throw new IllegalStateException(p.width() + ", " + q.width() + ", " + s);
      }
      long[] took = {b - a, c - b, d - c, e - d};
      for (int k = 0; k < 4; k++) {
        sum[k] += took[k] * 1e-6;
      }
    }
    return Arrays.stream(sum).map(x -> x / count).toArray();
  }

  /** Milliseconds a picture. */
  private static double djpeg(List<Path> files, String options) throws Exception {
    StringBuilder script = new StringBuilder();
    for (int i = 0; i < NATIVE; i++) {
      script
          .append("djpeg ")
          .append(options)
          .append(" -outfile /dev/null ")
          .append(files.get(i % files.size()))
          .append('\n');
    }
    script.append("times\n");
    Process shell =
        new ProcessBuilder("sh", "-e", "-c", script.toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    String times = new String(shell.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    int status = shell.waitFor();
    if (status != 0) {
      throw new IllegalStateException("djpeg ended with " + status);
    }
    // POSIX, "times": the second line has the user and system time of the children
    double seconds = 0;
    for (String time : times.lines().skip(1).findFirst().orElseThrow().trim().split("\\s+", -1)) {
      String[] part = time.split("[ms]", -1);
      seconds += 60 * Double.parseDouble(part[0]) + Double.parseDouble(part[1]);
    }
    return seconds * 1e3 / NATIVE;
  }
}
