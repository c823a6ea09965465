package samelight.engine.keepers;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Objects;
import java.util.Random;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.ImageOutputStream;
import samelight.engine.metadata.Luma;

/** Real pictures made softer by a known blur, darker or brighter, noisier, and encoded again. */
final class Blurring {
  private final Path folder;
  private int number;

  Blurring(Path folder) {
    this.folder = folder;
  }

  /** Luma of a picture as linear light, 0 to 1, averaged down to at most {@code side} pixels. */
  static double[][] linear(BufferedImage image, int side) {
    int step = Math.max(1, (Math.max(image.getWidth(), image.getHeight()) + side - 1) / side);
    int w = image.getWidth() / step;
    int h = image.getHeight() / step;
    double[][] out = new double[h][w];
    for (int y = 0; y < h * step; y++) {
      for (int x = 0; x < w * step; x++) {
        int rgb = image.getRGB(x, y);
        double code = 0.299 * (rgb >> 16 & 255) + 0.587 * (rgb >> 8 & 255) + 0.114 * (rgb & 255);
        out[y / step][x / step] += Math.pow(code / 255, 2.2) / (step * step);
      }
    }
    return out;
  }

  static double[][] gaussian(double[][] in, double sigma) {
    if (sigma <= 0) {
      return in;
    }
    int r = (int) Math.ceil(3 * sigma);
    double[] kernel = new double[2 * r + 1];
    double sum = 0;
    for (int i = -r; i <= r; i++) {
      kernel[i + r] = Math.exp(-i * i / (2 * sigma * sigma));
      sum += kernel[i + r];
    }
    double[][] a = new double[in.length][in[0].length];
    double[][] b = new double[in.length][in[0].length];
    for (int y = 0; y < in.length; y++) {
      for (int x = 0; x < in[0].length; x++) {
        for (int i = -r; i <= r; i++) {
          a[y][x] += kernel[i + r] / sum * in[y][clip(x + i, in[0].length)];
        }
      }
    }
    for (int y = 0; y < in.length; y++) {
      for (int x = 0; x < in[0].length; x++) {
        for (int i = -r; i <= r; i++) {
          b[y][x] += kernel[i + r] / sum * a[clip(y + i, in.length)][x];
        }
      }
    }
    return b;
  }

  /** Means along a straight path of so many pixels. */
  static double[][] motion(double[][] in, double length, double degrees) {
    if (length <= 0) {
      return in;
    }
    int steps = (int) Math.ceil(length * 3);
    double[][] out = new double[in.length][in[0].length];
    for (int s = 0; s <= steps; s++) {
      double at = length * ((double) s / steps - 0.5);
      double dx = at * Math.cos(Math.toRadians(degrees));
      double dy = at * Math.sin(Math.toRadians(degrees));
      int ix = (int) Math.floor(dx);
      int iy = (int) Math.floor(dy);
      double fx = dx - ix;
      double fy = dy - iy;
      for (int y = 0; y < in.length; y++) {
        int y0 = clip(y + iy, in.length);
        int y1 = clip(y + iy + 1, in.length);
        for (int x = 0; x < in[0].length; x++) {
          int x0 = clip(x + ix, in[0].length);
          int x1 = clip(x + ix + 1, in[0].length);
          out[y][x] +=
              ((in[y0][x0] * (1 - fx) + in[y0][x1] * fx) * (1 - fy)
                      + (in[y1][x0] * (1 - fx) + in[y1][x1] * fx) * fy)
                  / (steps + 1);
        }
      }
    }
    return out;
  }

  private static int clip(int i, int n) {
    return Math.max(0, Math.min(n - 1, i));
  }

  /** As a camera would render it: exposure, noise, gamma, JPEG; then read as keepers read it. */
  Sharpness measured(double[][] linear, double stops, double noise, Random random)
      throws IOException {
    int h = linear.length;
    int w = linear[0].length;
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_BYTE_GRAY);
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        double light = Math.max(0, linear[y][x] * Math.pow(2, stops));
        double code = 255 * Math.pow(Math.min(1, light), 1 / 2.2) + noise * random.nextGaussian();
        image.getRaster().setSample(x, y, 0, (int) Math.max(0, Math.min(255, code + 0.5)));
      }
    }
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ImageWriteParam param = writer.getDefaultWriteParam();
    param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
    param.setCompressionQuality(0.9f);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (ImageOutputStream stream = ImageIO.createImageOutputStream(out)) {
      writer.setOutput(stream);
      writer.write(null, new IIOImage(image, null, null), param);
    } finally {
      writer.dispose();
    }
    Path file = folder.resolve("blurred-" + number++ + ".jpg");
    Files.write(file, out.toByteArray());
    try {
      return read(file, Double.NaN, Double.NaN);
    } finally {
      Files.delete(file);
    }
  }

  static Sharpness read(Path file, double x, double y) throws IOException {
    Luma luma = Objects.requireNonNull(Luma.read(file, null, QualityReader.SIDE));
    return Sharpness.of(luma, x, y);
  }
}
