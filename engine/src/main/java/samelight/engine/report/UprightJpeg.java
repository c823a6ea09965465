package samelight.engine.report;

import java.awt.image.BufferedImage;
import java.awt.image.DataBufferByte;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.MemoryCacheImageOutputStream;

/** Writes pictures as JPEG files without metadata, turned upright; for use by one thread. */
public final class UprightJpeg implements AutoCloseable {
  private final ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
  private final ImageWriteParam param;

  /**
   * Begins.
   *
   * @param quality of the JPEG, 0 to 1
   */
  public UprightJpeg(float quality) {
    param = writer.getDefaultWriteParam();
    param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
    param.setCompressionQuality(quality);
  }

  /**
   * A picture as a JPEG file.
   *
   * @param width pixels, as stored
   * @param height pixels, as stored
   * @param rgb width x height x 3 bytes, rows from the top, R G B
   * @param orientation Exif Orientation, 1 to 8
   */
  public byte[] of(int width, int height, byte[] rgb, int orientation) {
    return of(upright(width, height, rgb, orientation));
  }

  byte[] of(BufferedImage upright) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(4096);
    try (MemoryCacheImageOutputStream out = new MemoryCacheImageOutputStream(bytes)) {
      writer.setOutput(out);
      writer.write(null, new IIOImage(upright, null, null), param);
      out.flush();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return bytes.toByteArray();
  }

  @Override
  public void close() {
    writer.dispose();
  }

  /** Turned as Exif Orientation (Exif 2.2, tag 0x0112) says: 1 to 8. */
  static BufferedImage upright(int w, int h, byte[] rgb, int orientation) {
    boolean onItsSide = orientation >= 5;
    BufferedImage out =
        new BufferedImage(onItsSide ? h : w, onItsSide ? w : h, BufferedImage.TYPE_3BYTE_BGR);
    byte[] to = ((DataBufferByte) out.getRaster().getDataBuffer()).getData();
    int stride = out.getWidth();
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int toX =
            switch (orientation) {
              case 2, 3 -> w - 1 - x;
              case 5, 8 -> y;
              case 6, 7 -> h - 1 - y;
              default -> x;
            };
        int toY =
            switch (orientation) {
              case 3, 4 -> h - 1 - y;
              case 5, 6 -> x;
              case 7, 8 -> w - 1 - x;
              default -> y;
            };
        int source = (y * w + x) * 3;
        int target = (toY * stride + toX) * 3;
        to[target] = rgb[source + 2];
        to[target + 1] = rgb[source + 1];
        to[target + 2] = rgb[source];
      }
    }
    return out;
  }
}
