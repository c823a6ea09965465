package samelight.samples;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.drew.imaging.ImageMetadataReader;
import com.drew.metadata.Directory;
import com.drew.metadata.Metadata;
import com.drew.metadata.exif.ExifIFD0Directory;
import com.drew.metadata.exif.ExifSubIFDDirectory;
import com.drew.metadata.exif.ExifThumbnailDirectory;
import com.drew.metadata.jpeg.JpegDirectory;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.samples.ShootOptions.Kind;

/** Every field that the samples write, read back by an independent reader. */
class ReadBackTest {

  @TempDir static Path dir;
  private static JsonNode truth;
  private static Path shoot;

  @BeforeAll
  static void generate() throws Exception {
    shoot = dir.resolve("shoot");
    Path file = dir.resolve("truth.json");
    SampleShoot.write(
        ShootOptions.of(11, 120, Kind.MIXED).withBodies(3).withExtras(true), shoot, file);
    truth = new ObjectMapper().readTree(file.toFile());
  }

  private static Metadata read(String file) throws Exception {
    return ImageMetadataReader.readMetadata(shoot.resolve(file).toFile());
  }

  private static Directory exif(Metadata m) {
    return m.getDirectoriesOfType(ExifSubIFDDirectory.class).stream()
        .filter(d -> d.containsTag(ExifSubIFDDirectory.TAG_EXPOSURE_TIME))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void frames_everyFileIsInTruthOnce() throws Exception {
    Set<String> told = new HashSet<>();
    for (String list : List.of("frames", "brackets")) {
      for (JsonNode f : truth.get(list)) {
        assertThat(told.add(f.get("file").asText())).isTrue();
        if (f.has("paired")) {
          assertThat(told.add(f.get("paired").asText())).isTrue();
        }
      }
    }
    truth.get("companions").forEach(c -> assertThat(told.add(c.asText())).isTrue());
    try (Stream<Path> all = Files.walk(shoot)) {
      assertThat(
              all.filter(Files::isRegularFile)
                  .map(p -> shoot.relativize(p).toString().replace('\\', '/')))
          .containsExactlyInAnyOrderElementsOf(told);
    }
    assertThat(truth.get("frames").size() + truth.get("brackets").size()).isEqualTo(120);
    assertThat(truth.get("brackets").size()).isEqualTo(3);
    assertThat(truth.get("companions").size()).isPositive();
    assertThat(truth.get("frames").findValues("paired")).isNotEmpty();
  }

  @Test
  void settings_markedValuesStayWithinAQuarterStopOfTruth() throws Exception {
    for (JsonNode f : truth.get("frames")) {
      Directory d = exif(read(f.get("file").asText()));
      double n = d.getDouble(ExifSubIFDDirectory.TAG_FNUMBER);
      double t = d.getDouble(ExifSubIFDDirectory.TAG_EXPOSURE_TIME);
      double iso = d.getDouble(ExifSubIFDDirectory.TAG_ISO_EQUIVALENT);
      double ev = Math.log(n * n / t * 100 / iso) / Math.log(2);
      assertThat(ev).isCloseTo(f.get("evset").asDouble(), within(0.26));
    }
  }

  @Test
  void times_showTheBodysClock() throws Exception {
    for (JsonNode f : truth.get("frames")) {
      JsonNode body = truth.get("bodies").get(f.get("body").asText());
      Directory d = exif(read(f.get("file").asText()));
      String[] p = d.getString(ExifSubIFDDirectory.TAG_DATETIME_ORIGINAL).split("[: ]", -1);
      double shown =
          Integer.parseInt(p[3]) * 3600
              + Integer.parseInt(p[4]) * 60
              + Integer.parseInt(p[5])
              + Double.parseDouble(
                  "0." + d.getString(ExifSubIFDDirectory.TAG_SUBSECOND_TIME_ORIGINAL));
      double real = f.get("real").asDouble();
      double drift = body.get("drift").asDouble() * real / 28800;
      assertThat(shown - 36000 - real - drift)
          .isCloseTo(body.get("offset").asDouble(), within(0.0101));
      String zone = d.getString(ExifSubIFDDirectory.TAG_TIME_ZONE_ORIGINAL);
      assertThat(zone == null ? "" : zone).isEqualTo(body.get("utcOffset").asText());
    }
  }

  @Test
  void tags_areThoseOfTheTruth() throws Exception {
    for (JsonNode f : truth.get("frames")) {
      JsonNode body = truth.get("bodies").get(f.get("body").asText());
      Metadata m = read(f.get("file").asText());
      ExifIFD0Directory first = m.getFirstDirectoryOfType(ExifIFD0Directory.class);
      Directory d = exif(m);
      assertThat(first.getString(ExifIFD0Directory.TAG_MAKE)).isEqualTo(body.get("make").asText());
      assertThat(first.getString(ExifIFD0Directory.TAG_MODEL))
          .isEqualTo(body.get("model").asText());
      assertThat(first.getInt(ExifIFD0Directory.TAG_ORIENTATION)).isIn(1, 6, 8);
      assertThat(d.getString(ExifSubIFDDirectory.TAG_BODY_SERIAL_NUMBER))
          .isEqualTo(body.get("serial").asText());
      assertThat(d.getString(ExifSubIFDDirectory.TAG_LENS_MODEL)).isEqualTo(f.get("lens").asText());
      assertThat(d.getInt(ExifSubIFDDirectory.TAG_FOCAL_LENGTH)).isIn(35, 50);
      assertThat((d.getInt(ExifSubIFDDirectory.TAG_FLASH) & 1) == 1)
          .isEqualTo(f.get("flash").asBoolean());
      assertThat(d.getInt(ExifSubIFDDirectory.TAG_METERING_MODE)).isEqualTo(5);
      assertThat(d.getInt(ExifSubIFDDirectory.TAG_EXPOSURE_PROGRAM)).isIn(1, 3);
      assertThat(d.getInt(ExifSubIFDDirectory.TAG_EXPOSURE_MODE)).isIn(0, 1);
      assertThat(d.getDouble(ExifSubIFDDirectory.TAG_EXPOSURE_BIAS)).isBetween(-2.51, 2.51);
      int source = d.getInt(ExifSubIFDDirectory.TAG_WHITE_BALANCE);
      assertThat(d.getInt(ExifSubIFDDirectory.TAG_WHITE_BALANCE_MODE))
          .isEqualTo(source == 0 ? 0 : 1);
    }
  }

  @Test
  void brackets_sayTheirSteps() throws Exception {
    double middle = Double.NaN;
    for (JsonNode f : truth.get("brackets")) {
      Directory d = exif(read(f.get("file").asText()));
      double step = f.get("bracketStops").asDouble();
      assertThat(d.getInt(ExifSubIFDDirectory.TAG_EXPOSURE_MODE)).isEqualTo(2);
      assertThat(d.getDouble(ExifSubIFDDirectory.TAG_EXPOSURE_BIAS)).isCloseTo(step, within(1e-9));
      if (step == 0) {
        middle = f.get("evset").asDouble();
      }
      assertThat(middle - f.get("evset").asDouble()).isCloseTo(step, within(1e-9));
    }
  }

  @Test
  void jpegs_carryThumbnailsOfTheSamePicture() throws Exception {
    int seen = 0;
    for (JsonNode f : truth.get("frames")) {
      String file = f.get("file").asText();
      if (!file.endsWith(".JPG")) {
        continue;
      }
      seen++;
      Metadata m = read(file);
      assertThat(m.getFirstDirectoryOfType(JpegDirectory.class).getImageWidth()).isEqualTo(480);
      ExifThumbnailDirectory t = m.getFirstDirectoryOfType(ExifThumbnailDirectory.class);
      byte[] bytes = Files.readAllBytes(shoot.resolve(file));
      int from = 12 + t.getInt(ExifThumbnailDirectory.TAG_THUMBNAIL_OFFSET);
      int length = t.getInt(ExifThumbnailDirectory.TAG_THUMBNAIL_LENGTH);
      var thumbnail =
          ImageIO.read(new ByteArrayInputStream(Arrays.copyOfRange(bytes, from, from + length)));
      assertThat(thumbnail.getWidth()).isEqualTo(160);
      assertThat(thumbnail.getHeight()).isEqualTo(107);
      var picture = ImageIO.read(new ByteArrayInputStream(bytes));
      assertThat(mean(thumbnail)).isCloseTo(mean(picture), within(2.0));
    }
    assertThat(seen).isPositive();
  }

  private static double mean(java.awt.image.BufferedImage image) {
    double sum = 0;
    for (int y = 0; y < image.getHeight(); y++) {
      for (int x = 0; x < image.getWidth(); x++) {
        sum += image.getRGB(x, y) >> 8 & 255;
      }
    }
    return sum / image.getWidth() / image.getHeight();
  }

  @Test
  void write_sameSeedSameBytes() throws Exception {
    for (int threads : new int[] {1, 3}) {
      Path again = dir.resolve("again-" + threads);
      ShootOptions o = ShootOptions.of(11, 120, Kind.MIXED).withBodies(3).withExtras(true);
      SampleShoot.write(
          new ShootOptions(
              o.seed(),
              o.frames(),
              o.kind(),
              o.bodies(),
              o.width(),
              o.height(),
              o.troubles(),
              o.extras(),
              o.greyCard(),
              threads),
          again,
          dir.resolve(String.format(Locale.ROOT, "truth-%d.json", threads)));
      try (Stream<Path> all = Files.walk(shoot)) {
        for (Path p : all.filter(Files::isRegularFile).toList()) {
          assertThat(again.resolve(shoot.relativize(p))).hasSameBinaryContentAs(p);
        }
      }
      assertThat(dir.resolve("truth-" + threads + ".json"))
          .hasSameBinaryContentAs(dir.resolve("truth.json"));
    }
  }
}
