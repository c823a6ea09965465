package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.ImageOutputStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Held against the platform's decoder (javax.imageio), which is a reference library here. */
class ReducedJpegTest {
  @Test
  void decode_atFullSize_agreesWithReferenceDecoder() throws IOException {
    byte[] jpeg = encode(picture(160, 107), 0.9f, false);
    ReducedJpeg.Pixels p = decode(jpeg, 160);
    BufferedImage reference = ImageIO.read(new ByteArrayInputStream(jpeg));
    assertThat(p.width()).isEqualTo(160);
    assertThat(p.height()).isEqualTo(107);
    // Chroma is replicated here and interpolated there, so single pixels differ more than means.
    assertThat(meanDifference(p, reference)).isLessThan(1.5);
    for (double b : biases(p, reference)) {
      assertThat(Math.abs(b)).isLessThan(0.25);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {20, 40, 60, 80, 100, 120, 140})
  void decode_atReducedSize_keepsMeanOfEachChannel(int width) throws IOException {
    byte[] jpeg = encode(picture(160, 112), 0.92f, false);
    ReducedJpeg.Pixels p = decode(jpeg, width);
    BufferedImage reference = ImageIO.read(new ByteArrayInputStream(jpeg));
    assertThat(p.width()).isEqualTo(width);
    for (int c = 0; c < 3; c++) {
      // 0.35 of a code value in mid-tones is 0.01 stop.
      assertThat(mean(p, c))
          .isCloseTo(mean(reference, c), org.assertj.core.data.Offset.offset(0.35));
    }
  }

  @Test
  void decode_atAnEighth_givesMeansOfBlocks() throws IOException {
    byte[] jpeg = encode(picture(640, 424), 0.95f, false);
    ReducedJpeg.Pixels p = decode(jpeg, 80);
    BufferedImage reference = ImageIO.read(new ByteArrayInputStream(jpeg));
    double worst = 0;
    for (int y = 0; y < 53; y++) {
      for (int x = 0; x < 80; x++) {
        double sum = 0;
        for (int j = 0; j < 64; j++) {
          int rgb = reference.getRGB(x * 8 + j % 8, y * 8 + j / 8);
          sum += luma(rgb >> 16 & 255, rgb >> 8 & 255, rgb & 255);
        }
        int i = (y * 80 + x) * 3;
        double here = luma(p.rgb()[i] & 255, p.rgb()[i + 1] & 255, p.rgb()[i + 2] & 255);
        worst = Math.max(worst, Math.abs(here - sum / 64));
      }
    }
    assertThat(worst).isLessThan(2.5);
  }

  @Test
  void decode_progressive_agreesWithReferenceMeans() throws IOException {
    byte[] jpeg = encode(picture(960, 640), 0.9f, true);
    ReducedJpeg.Pixels p = decode(jpeg, 96);
    BufferedImage reference = ImageIO.read(new ByteArrayInputStream(jpeg));
    assertThat(p.width()).isEqualTo(120);
    for (int c = 0; c < 3; c++) {
      assertThat(mean(p, c))
          .isCloseTo(mean(reference, c), org.assertj.core.data.Offset.offset(0.35));
    }
  }

  @Test
  void decode_truncated_saysHowMuchIsThere() throws IOException {
    byte[] jpeg = encode(picture(640, 424), 0.9f, false);
    ReducedJpeg.Pixels p = decode(java.util.Arrays.copyOf(jpeg, jpeg.length / 2), 80);
    assertThat(p.decoded()).isBetween(0.2, 0.8);
  }

  @Test
  void decode_hugeSides_areRefused() throws IOException {
    byte[] jpeg = encode(picture(64, 64), 0.9f, false);
    int sof = 0;
    while ((jpeg[sof] & 255) != 0xFF || (jpeg[sof + 1] & 255) != 0xC0) {
      sof++;
    }
    for (int i = 5; i < 9; i++) {
      jpeg[sof + i] = (byte) 0xEA;
    }
    assertThatThrownBy(() -> decode(jpeg, 80))
        .isInstanceOf(ReducedJpeg.Unsupported.class)
        .hasMessageContaining("60138 x 60138");
  }

  @Test
  void shrink_barsOfAnotherShape_areCutOff() {
    byte[] rgb = new byte[160 * 120 * 3];
    for (int y = 7; y < 113; y++) {
      java.util.Arrays.fill(rgb, y * 160 * 3, (y + 1) * 160 * 3, (byte) 100);
    }
    var small = SmallPicture.shrink(rgb, 160, 120, 6000, 4000);
    assertThat(small.width()).isEqualTo(80);
    assertThat(small.height()).isEqualTo(53);
    for (int y = 0; y < small.height(); y++) {
      assertThat(small.code(40, y, 1)).isEqualTo(100);
    }
  }

  @Test
  void shrink_darkFrameOfItsOwnShape_isKeptWhole() {
    var small = SmallPicture.shrink(new byte[96 * 64 * 3], 96, 64, 6000, 4000);
    assertThat(small.height()).isEqualTo(64);
  }

  static ReducedJpeg.Pixels decode(byte[] jpeg, int side) throws IOException {
    ByteSource source = ByteSource.memory(jpeg, new Budget());
    return ReducedJpeg.decode(source, 0, jpeg.length, side);
  }

  /** Smooth areas, an edge and fine structure, in colour. */
  static BufferedImage picture(int w, int h) {
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    java.util.Random random = new java.util.Random(7);
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int r = 60 + 120 * x / w + random.nextInt(9);
        int g = 70 + 100 * y / h + (x > w / 2 ? 20 : 0);
        int b = 90 + (int) (30 * Math.sin(x * 0.3) * Math.cos(y * 0.2)) + random.nextInt(9);
        image.setRGB(x, y, r << 16 | g << 8 | b);
      }
    }
    return image;
  }

  static byte[] encode(BufferedImage image, float quality, boolean progressive) throws IOException {
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ImageWriteParam param = writer.getDefaultWriteParam();
    param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
    param.setCompressionQuality(quality);
    param.setProgressiveMode(
        progressive ? ImageWriteParam.MODE_DEFAULT : ImageWriteParam.MODE_DISABLED);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (ImageOutputStream stream = ImageIO.createImageOutputStream(out)) {
      writer.setOutput(stream);
      writer.write(null, new IIOImage(image, null, null), param);
    } finally {
      writer.dispose();
    }
    return out.toByteArray();
  }

  private static double luma(int r, int g, int b) {
    return 0.299 * r + 0.587 * g + 0.114 * b;
  }

  private static double mean(ReducedJpeg.Pixels p, int channel) {
    double sum = 0;
    for (int i = channel; i < p.rgb().length; i += 3) {
      sum += p.rgb()[i] & 255;
    }
    return sum * 3 / p.rgb().length;
  }

  private static double mean(BufferedImage image, int channel) {
    double sum = 0;
    for (int y = 0; y < image.getHeight(); y++) {
      for (int x = 0; x < image.getWidth(); x++) {
        sum += image.getRGB(x, y) >> (16 - 8 * channel) & 255;
      }
    }
    return sum / image.getWidth() / image.getHeight();
  }

  private static double meanDifference(ReducedJpeg.Pixels p, BufferedImage reference) {
    double sum = 0;
    for (int i = 0; i < p.rgb().length; i++) {
      int rgb = reference.getRGB(i / 3 % p.width(), i / 3 / p.width());
      sum += Math.abs((p.rgb()[i] & 255) - (rgb >> (16 - 8 * (i % 3)) & 255));
    }
    return sum / p.rgb().length;
  }

  private static double[] biases(ReducedJpeg.Pixels p, BufferedImage reference) {
    double[] b = new double[3];
    for (int c = 0; c < 3; c++) {
      b[c] = mean(p, c) - mean(reference, c);
    }
    return b;
  }
}
