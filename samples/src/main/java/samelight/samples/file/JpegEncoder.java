package samelight.samples.file;

import java.awt.Point;
import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
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
    WritableRaster raster =
        Raster.createPackedRaster(
            new DataBufferInt(p.rgb(), p.rgb().length),
            p.width(),
            p.height(),
            p.width(),
            new int[] {0xFF0000, 0xFF00, 0xFF},
            new Point());
    BufferedImage template = new BufferedImage(1, 1, BufferedImage.TYPE_INT_RGB);
    BufferedImage image = new BufferedImage(template.getColorModel(), raster, false, null);
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
