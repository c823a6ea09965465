package samelight.engine.delivery;

import java.awt.color.ColorSpace;
import java.awt.color.ICC_Profile;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Random;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.MemoryCacheImageOutputStream;

/** Real JPEGs with metadata of every kind, as an editor might export them. */
final class Jpegs {
  static final byte[] SRGB = ICC_Profile.getInstance(ColorSpace.CS_sRGB).getData();

  private Jpegs() {}

  /** A picture of waves and noise. */
  static BufferedImage picture(int width, int height, boolean grey, long seed) {
    Random random = new Random(seed);
    BufferedImage image =
        new BufferedImage(
            width, height, grey ? BufferedImage.TYPE_BYTE_GRAY : BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        int r = clip(128 + 90 * Math.sin(x / 9.0) + random.nextGaussian() * 10);
        int g = clip(128 + 90 * Math.cos(y / 7.0) + random.nextGaussian() * 10);
        image.setRGB(x, y, r << 16 | g << 8 | clip(r * 0.5 + g * 0.4));
      }
    }
    return image;
  }

  private static int clip(double v) {
    return (int) Math.max(0, Math.min(255, v));
  }

  static byte[] encode(BufferedImage image, float quality, boolean progressive) {
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (MemoryCacheImageOutputStream out = new MemoryCacheImageOutputStream(bytes)) {
      ImageWriteParam param = writer.getDefaultWriteParam();
      param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
      param.setCompressionQuality(quality);
      if (progressive) {
        param.setProgressiveMode(ImageWriteParam.MODE_DEFAULT);
      }
      writer.setOutput(out);
      writer.write(null, new IIOImage(image, null, null), param);
    } catch (IOException e) {
      throw new IllegalStateException(e);
    } finally {
      writer.dispose();
    }
    return bytes.toByteArray();
  }

  /** With segments after its JFIF header. */
  static byte[] with(byte[] jpeg, byte[]... segments) {
    int head = 2 + 2 + ((jpeg[4] & 255) << 8 | (jpeg[5] & 255));
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(jpeg, 0, head);
    for (byte[] s : segments) {
      out.writeBytes(s);
    }
    out.write(jpeg, head, jpeg.length - head);
    return out.toByteArray();
  }

  static byte[] segment(int marker, String signature, byte[] body) {
    byte[] start = signature.getBytes(StandardCharsets.ISO_8859_1);
    int length = 2 + start.length + body.length;
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(0xFF);
    out.write(marker);
    out.write(length >> 8);
    out.write(length);
    out.writeBytes(start);
    out.writeBytes(body);
    return out.toByteArray();
  }

  static byte[] profile() {
    return segment(0xE2, "ICC_PROFILE\0\1\1", SRGB);
  }

  static int[] pixels(byte[] jpeg) throws IOException {
    BufferedImage image = ImageIO.read(new ByteArrayInputStream(jpeg));
    return image.getRGB(0, 0, image.getWidth(), image.getHeight(), null, 0, image.getWidth());
  }
}
