package samelight.samples;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.drew.imaging.ImageMetadataReader;
import com.drew.metadata.Metadata;
import com.drew.metadata.exif.ExifIFD0Directory;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.samples.ShootOptions.Kind;
import samelight.samples.camera.Sensor;
import samelight.samples.camera.ToneCurve;
import samelight.samples.light.Krystek1985;
import samelight.samples.light.Matrix3;

/** The truth is what the pixels show: a grey card in every frame follows gain and white balance. */
class PixelTruthTest {

  @TempDir Path dir;

  private JsonNode shoot(Kind kind) throws Exception {
    SampleShoot.write(
        ShootOptions.of(21, 130, kind).withGreyCard(), dir.resolve("shoot"), dir.resolve("t.json"));
    return new ObjectMapper().readTree(dir.resolve("t.json").toFile());
  }

  // The card is at the upright picture's lower left: on a sensor turned to orientation 6 that is
  // the
  // lower right, turned to 8 the upper left.
  private static int left(int orientation, int width) {
    return orientation == 6 ? width * 17 / 20 : width / 20;
  }

  private static int top(int orientation, int height) {
    return orientation == 8 ? height / 20 : height * 17 / 20;
  }

  /** Mean code values of the card, which lies at the lower left of the upright picture. */
  private static double[] card(BufferedImage image, int orientation) {
    int w = image.getWidth();
    int h = image.getHeight();
    int x0 = left(orientation, w);
    int y0 = top(orientation, h);
    double[] sum = new double[3];
    int n = 0;
    for (int y = y0; y < y0 + h / 10; y++) {
      for (int x = x0; x < x0 + w / 10; x++, n++) {
        int p = image.getRGB(x, y);
        sum[0] += p >> 16 & 255;
        sum[1] += p >> 8 & 255;
        sum[2] += p & 255;
      }
    }
    return new double[] {sum[0] / n, sum[1] / n, sum[2] / n};
  }

  @Test
  void jpeg_greyCardFollowsGainThroughTheTone() throws Exception {
    JsonNode truth = shoot(Kind.JPEG);
    double worst = 0;
    for (JsonNode f : truth.get("frames")) {
      Path file = dir.resolve("shoot").resolve(f.get("file").asText());
      Metadata m = ImageMetadataReader.readMetadata(file.toFile());
      int orientation =
          m.getFirstDirectoryOfType(ExifIFD0Directory.class)
              .getInt(ExifIFD0Directory.TAG_ORIENTATION);
      double[] rgb = card(ImageIO.read(file.toFile()), orientation);
      double slope = truth.get("bodies").get(f.get("body").asText()).get("slope").asDouble();
      ToneCurve curve = new ToneCurve(slope);
      double y =
          0.2126 * curve.scene(rgb[0])
              + 0.7152 * curve.scene(rgb[1])
              + 0.0722 * curve.scene(rgb[2]);
      double gain = Math.log(y / 0.18) / Math.log(2);
      double mired = 1e6 / f.get("asshot").asDouble() - 1e6 / f.get("cct").asDouble();
      // A wrong white balance moves luminance a little: less than 0.002 stop a mired.
      assertThat(gain)
          .as(f.get("file").asText())
          .isCloseTo(f.get("gain").asDouble(), within(0.04 + 0.002 * Math.abs(mired)));
      worst = Math.max(worst, Math.abs(gain - f.get("gain").asDouble()));
      if (Math.abs(mired) > 12) {
        assertThat(Math.signum(rgb[2] - rgb[0])).as("cast of " + f).isEqualTo(-Math.signum(-mired));
      }
    }
    assertThat(worst).isPositive();
  }

  @Test
  void dng_neutralAndRawReadBackAsTheTruth() throws Exception {
    JsonNode truth = shoot(Kind.DNG);
    for (JsonNode f : truth.get("frames")) {
      Path file = dir.resolve("shoot").resolve(f.get("file").asText());
      Metadata m = ImageMetadataReader.readMetadata(file.toFile());
      ExifIFD0Directory d = m.getFirstDirectoryOfType(ExifIFD0Directory.class);
      Sensor sensor = new Sensor(matrix(d, 0xC621), matrix(d, 0xC622));
      double[] neutral = numbers(d, 0xC628);
      assertThat(1e6 / Krystek1985.kelvin(sensor.read(neutral)))
          .isCloseTo(1e6 / f.get("asshot").asDouble(), within(0.1));
      assertThat(d.getInt(0xC65A)).isEqualTo(17);
      assertThat(d.getInt(0xC65B)).isEqualTo(21);
      byte[] bytes = Files.readAllBytes(file);
      BufferedImage preview =
          ImageIO.read(
              new ByteArrayInputStream(
                  Arrays.copyOfRange(bytes, d.getInt(0x111), d.getInt(0x111) + d.getInt(0x117))));
      assertThat(preview.getWidth()).isEqualTo(480);
      assertThat(preview.getHeight()).isEqualTo(320);
      int orientation = d.getInt(ExifIFD0Directory.TAG_ORIENTATION);
      double[] raw = rawCard(m, bytes, orientation);
      // Raw values of the grey card, divided by the true neutral, are grey; green says the gain.
      double[] white =
          sensor.white(Krystek1985.chromaticity(f.get("cct").asDouble(), f.get("duv").asDouble()));
      double r = raw[0] / white[0];
      double g = raw[1] / white[1];
      double b = raw[2] / white[2];
      assertThat(r / g).isCloseTo(1, within(0.02));
      assertThat(b / g).isCloseTo(1, within(0.02));
      double scale = 16383 / (0.18 * 8) / sensor.white(sensor.read(neutral))[1];
      assertThat(Math.log(g / scale / 0.18) / Math.log(2))
          .isCloseTo(f.get("gain").asDouble(), within(0.03));
    }
  }

  private static double[] rawCard(Metadata m, byte[] bytes, int orientation) {
    var sub =
        m.getDirectoriesOfType(com.drew.metadata.exif.ExifSubIFDDirectory.class).stream()
            .filter(d -> Integer.valueOf(34892).equals(d.getInteger(0x106)))
            .findFirst()
            .orElseThrow();
    int w = sub.getInteger(0x100);
    int h = sub.getInteger(0x101);
    assertThat(sub.getString(0xC61D)).isEqualTo("16383 16383 16383");
    ByteBuffer b =
        ByteBuffer.wrap(bytes, sub.getInteger(0x111), sub.getInteger(0x117))
            .slice()
            .order(ByteOrder.LITTLE_ENDIAN);
    int x0 = left(orientation, w);
    int y0 = top(orientation, h);
    double[] sum = new double[3];
    for (int y = y0; y < y0 + h / 10; y++) {
      for (int x = x0; x < x0 + w / 10; x++) {
        for (int c = 0; c < 3; c++) {
          sum[c] += b.getShort(2 * (3 * (y * w + x) + c)) & 0xFFFF;
        }
      }
    }
    int n = h / 10 * (w / 10);
    return new double[] {sum[0] / n, sum[1] / n, sum[2] / n};
  }

  private static Matrix3 matrix(ExifIFD0Directory d, int tag) {
    return Matrix3.of(numbers(d, tag));
  }

  private static double[] numbers(ExifIFD0Directory d, int tag) {
    return Arrays.stream(d.getRationalArray(tag))
        .mapToDouble(com.drew.lang.Rational::doubleValue)
        .toArray();
  }
}
