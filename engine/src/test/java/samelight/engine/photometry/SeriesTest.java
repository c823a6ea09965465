package samelight.engine.photometry;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.metadata.FrameReader;

/**
 * Brightness against exposure on real cameras: folders that each hold one still view at many
 * exposures, {@code -Dseries=FOLDER}. The response that is learned from a series must bring its
 * pictures together in the mid-tones (code values 50 to 205) to 0.17 stop. Settings are Exif's, or
 * the lines of a file {@code shutter_times.txt} (seconds, in the order of the files' names).
 */
class SeriesTest {
  private static final int DARK = 50;
  private static final int BRIGHT = 205;
  private static final double MOST = 0.17;

  /** One picture: code values of green, and log2 of its exposure by the settings. */
  private static final class Shot {
    private final int width;
    private final int height;
    private final byte[] rgb;
    private final double exposure;

    Shot(SmallImage picture, double exposure) {
      this.width = picture.width();
      this.height = picture.height();
      this.rgb = picture.rgb();
      this.exposure = exposure;
    }

    int width() {
      return width;
    }

    int height() {
      return height;
    }

    double exposure() {
      return exposure;
    }

    int green(int i) {
      return rgb[3 * i + 1] & 0xFF;
    }
  }

  @Test
  @EnabledIfSystemProperty(named = "series", matches = ".+")
  void learnedResponse_bringsEverySeriesTogether() throws IOException {
    List<String> lines = new ArrayList<>();
    Map<String, Double> rms = new HashMap<>();
    try (Stream<Path> folders = Files.list(Path.of(System.getProperty("series")))) {
      for (Path folder : folders.filter(Files::isDirectory).sorted().toList()) {
        List<Shot> shots = shots(folder);
        String name = String.valueOf(folder.getFileName());
        BodyResponse response = BodyResponse.learn(samples(shots));
        double left = residual(shots, response);
        double plain = residual(shots, BodyResponse.SRGB);
        lines.add(
            String.format(
                Locale.ROOT,
                "%-22s %2d pictures  slope at mid-grey %.2f  left %.3f stop rms (as plain sRGB %.3f)",
                name,
                shots.size(),
                response.slope(Math.log(0.18) / Math.log(2)),
                left,
                plain));
        rms.put(name, left);
      }
    }
    Path report = Path.of("target", "series.txt");
    Files.createDirectories(report.getParent());
    Files.write(report, lines, StandardCharsets.UTF_8);
    assertThat(rms).isNotEmpty();
    assertThat(rms)
        .as(String.join("\n", lines))
        .allSatisfy((n, r) -> assertThat(r).isLessThan(MOST));
  }

  private static List<Shot> shots(Path folder) throws IOException {
    List<Path> files;
    try (Stream<Path> all = Files.list(folder)) {
      files =
          all.filter(f -> f.toString().toLowerCase(Locale.ROOT).matches(".*\\.(jpg|png)"))
              .sorted()
              .toList();
    }
    Path table = folder.resolve("shutter_times.txt");
    List<String> times = Files.exists(table) ? Files.readAllLines(table) : List.of();
    List<Frame> frames = new ArrayList<>();
    List<CaptureSettings> settings = new ArrayList<>();
    for (Path f : files) {
      Frame frame = new FrameReader().read(folder, f).frame();
      if (frame != null) {
        frames.add(frame);
        settings.add(frame.settings());
      }
    }
    List<Shot> out = new ArrayList<>();
    ExposureSteps steps = ExposureSteps.of(settings);
    for (int i = 0; i < files.size(); i++) {
      if (!times.isEmpty()) {
        double seconds = seconds(times.get(i).strip());
        out.add(shot(picture(files.get(i)), Math.log(seconds) / Math.log(2)));
        continue;
      }
      Frame frame = frames.get(i);
      var ev = steps.exact(frame.settings()).ev100();
      if (ev != null) {
        out.add(shot(picture(files.get(i)), -ev.stops()));
      }
    }
    return out;
  }

  private static double seconds(String written) {
    String[] parts = written.split("/", 2);
    double top = Double.parseDouble(parts[0]);
    return parts.length == 1 ? top : top / Double.parseDouble(parts[1]);
  }

  /** The whole picture, averaged to at most 160 pixels a side. */
  private static SmallImage picture(Path file) throws IOException {
    @Nullable BufferedImage image = ImageIO.read(file.toFile());
    if (image == null) {
      throw new IOException("not a picture that Java reads: " + file);
    }
    int by = Math.max(1, Math.max(image.getWidth(), image.getHeight()) / 160);
    int w = image.getWidth() / by;
    int h = image.getHeight() / by;
    byte[] rgb = new byte[w * h * 3];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int[] sum = new int[3];
        for (int j = 0; j < by; j++) {
          for (int i = 0; i < by; i++) {
            int p = image.getRGB(x * by + i, y * by + j);
            sum[0] += p >> 16 & 0xFF;
            sum[1] += p >> 8 & 0xFF;
            sum[2] += p & 0xFF;
          }
        }
        for (int c = 0; c < 3; c++) {
          rgb[(y * w + x) * 3 + c] = (byte) Math.round((float) sum[c] / (by * by));
        }
      }
    }
    return new SmallImage(w, h, rgb);
  }

  private static Shot shot(SmallImage small, double exposure) {
    return new Shot(small, exposure);
  }

  /** Neighbours in exposure, both in the mid-tones. */
  private static List<int[]> pairs(List<Shot> shots) {
    List<Integer> order = new ArrayList<>();
    for (int i = 0; i < shots.size(); i++) {
      order.add(i);
    }
    order.sort((i, j) -> Double.compare(shots.get(i).exposure(), shots.get(j).exposure()));
    List<int[]> out = new ArrayList<>();
    for (int i = 1; i < order.size(); i++) {
      Shot a = shots.get(order.get(i - 1));
      Shot b = shots.get(order.get(i));
      double step = b.exposure() - a.exposure();
      // the mid-tones are four stops wide: of a wider step they show only what happens to fit
      if (step > 0.2 && step < 3 && a.width() == b.width() && a.height() == b.height()) {
        out.add(new int[] {order.get(i - 1), order.get(i)});
      }
    }
    return out;
  }

  private static boolean middle(int code) {
    return code >= DARK && code <= BRIGHT;
  }

  private static double linear(int code) {
    return Math.log(SrgbTransfer.decode(code / 255.0)) / Math.log(2);
  }

  private static List<BodyResponse.Sample> samples(List<Shot> shots) {
    List<BodyResponse.Sample> out = new ArrayList<>();
    for (int[] p : pairs(shots)) {
      Shot a = shots.get(p[0]);
      Shot b = shots.get(p[1]);
      for (int i = 0; i < a.width() * a.height(); i += 7) {
        if (middle(a.green(i)) && middle(b.green(i))) {
          double u = linear(a.green(i));
          double v = linear(b.green(i));
          out.add(new BodyResponse.Sample((u + v) / 2, v - u, b.exposure() - a.exposure(), p[1]));
        }
      }
    }
    return out;
  }

  private static double residual(List<Shot> shots, BodyResponse response) {
    double sum = 0;
    int n = 0;
    for (int[] p : pairs(shots)) {
      Shot a = shots.get(p[0]);
      Shot b = shots.get(p[1]);
      List<Double> gains = new ArrayList<>();
      for (int i = 0; i < a.width() * a.height(); i++) {
        if (middle(a.green(i)) && middle(b.green(i))) {
          gains.add((double) response.ofCode(b.green(i)) - response.ofCode(a.green(i)));
        }
      }
      if (gains.size() < 50) {
        continue;
      }
      double gain = Weighted.median(gains.stream().mapToDouble(Double::doubleValue).toArray());
      double e = gain - (b.exposure() - a.exposure());
      sum += e * e;
      n++;
    }
    return n == 0 ? Double.NaN : Math.sqrt(sum / n);
  }
}
