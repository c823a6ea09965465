package samelight.samples.file;

import java.awt.Transparency;
import java.awt.color.ColorSpace;
import java.awt.image.BufferedImage;
import java.awt.image.ComponentColorModel;
import java.awt.image.DataBuffer;
import java.awt.image.DataBufferByte;
import java.awt.image.Raster;
import java.awt.image.WritableRaster;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.MemoryCacheImageOutputStream;

/** Baseline JPEG (ITU-T T.81) through javax.imageio. Keep one for each thread: not thread-safe. */
public final class JpegEncoder {

  private static final ComponentColorModel MODEL =
      new ComponentColorModel(
          ColorSpace.getInstance(ColorSpace.CS_sRGB),
          false,
          false,
          Transparency.OPAQUE,
          DataBuffer.TYPE_BYTE);

  private final ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();

  /**
   * JPEG bytes, with a JFIF header and no metadata.
   *
   * @param quality 0 to 1
   */
  public byte[] encode(Picture p, float quality) {
    ImageWriteParam param = writer.getDefaultWriteParam();
    param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
    param.setCompressionQuality(quality);
    byte[] samples = new byte[3 * p.rgb().length];
    for (int i = 0; i < p.rgb().length; i++) {
      int c = p.rgb()[i];
      samples[3 * i] = (byte) (c >> 16);
      samples[3 * i + 1] = (byte) (c >> 8);
      samples[3 * i + 2] = (byte) c;
    }
    WritableRaster raster =
        Raster.createInterleavedRaster(
            new DataBufferByte(samples, samples.length),
            p.width(),
            p.height(),
            3 * p.width(),
            3,
            new int[] {0, 1, 2},
            null);
    BufferedImage image = new BufferedImage(MODEL, raster, false, null);
    ByteArrayOutputStream out = new ByteArrayOutputStream(32768);
    try (MemoryCacheImageOutputStream stream = new MemoryCacheImageOutputStream(out)) {
      writer.setOutput(stream);
      writer.write(null, new IIOImage(image, null, null), param);
    } catch (IOException e) {
      throw new UncheckedIOException("JPEG encoder failed in memory", e);
    }
    return out.toByteArray();
  }
}
