package samelight.samples;

import java.awt.color.ColorSpace;
import java.awt.color.ICC_Profile;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import javax.imageio.ImageIO;
import org.jspecify.annotations.Nullable;
import samelight.samples.file.Ifd;
import samelight.samples.file.JpegEncoder;
import samelight.samples.file.Picture;

/**
 * What a raw editor would export of an invented shoot: JPEGs with the frames' pictures graded, sRGB
 * profile, and Exif with position, serial number and maker's notes, which a delivery has to leave
 * out. With what goes wrong in real folders of exports.
 */
public final class SampleExports {
  /** What happens to the export of a frame. */
  public enum Mishap {
    /** Nothing is exported. */
    MISSING,
    /** It is exported twice under one name, in two folders. */
    DOUBLED,
    /** Its name tells nothing of the frame's. */
    RENAMED,
    /** It has no Exif at all. */
    STRIPPED,
    /** There is a black-and-white rendering beside it. */
    BLACK_AND_WHITE,
    /** It has no colour profile. */
    NO_PROFILE,
    /** Its last third is lost. */
    CUT
  }

  private static final float QUALITY = 0.92f;

  private final JpegEncoder encoder = new JpegEncoder();

  private SampleExports() {}

  /**
   * Exports frames.
   *
   * @param shoot an invented shoot
   * @param frames paths of its frames
   * @param to a folder, made where missing
   * @param mishaps what happens to which frame
   * @return paths of the exports, relative to the folder, by frame; several where there are several
   * @throws IOException if a frame can't be read or an export can't be written
   */
  public static Map<String, List<String>> write(
      Path shoot, List<String> frames, Path to, Map<String, Set<Mishap>> mishaps)
      throws IOException {
    SampleExports exports = new SampleExports();
    Map<String, List<String>> written = new LinkedHashMap<>();
    int number = 0;
    for (String frame : frames) {
      number++;
      Set<Mishap> own = mishaps.getOrDefault(frame, Set.of());
      if (own.contains(Mishap.MISSING)) {
        continue;
      }
      byte[] source = Files.readAllBytes(shoot.resolve(frame));
      String folder = frame.substring(0, frame.lastIndexOf('/') + 1);
      String stem = frame.substring(folder.length(), frame.lastIndexOf('.'));
      String name = folder + (own.contains(Mishap.RENAMED) ? "garden-" + number : stem);
      List<String> names = new java.util.ArrayList<>(List.of(name + ".jpg"));
      byte[] colour = exports.export(source, own, false);
      create(to, names.get(0), colour);
      if (own.contains(Mishap.BLACK_AND_WHITE)) {
        names.add(name + "-bw.jpg");
        create(to, names.get(1), exports.export(source, own, true));
      }
      if (own.contains(Mishap.DOUBLED)) {
        names.add("again/" + name + ".jpg");
        create(to, "again/" + name + ".jpg", colour);
      }
      written.put(frame, List.copyOf(names));
    }
    return written;
  }

  /**
   * Mishaps as they come: every fifth frame stripped, every seventh renamed, every ninth with a
   * black-and-white rendering, one missing, one doubled.
   *
   * @param frames at least 20
   */
  public static Map<String, Set<Mishap>> asTheyCome(List<String> frames) {
    Map<String, Set<Mishap>> out = new TreeMap<>();
    for (int i = 0; i < frames.size(); i++) {
      Set<Mishap> own = EnumSet.noneOf(Mishap.class);
      if (i % 7 == 3) {
        own.add(Mishap.RENAMED);
      } else if (i % 5 == 2) {
        own.add(Mishap.STRIPPED);
      }
      if (i % 9 == 4) {
        own.add(Mishap.BLACK_AND_WHITE);
      }
      out.put(frames.get(i), own);
    }
    out.put(frames.get(frames.size() / 2), EnumSet.of(Mishap.MISSING));
    out.put(frames.get(frames.size() / 3), EnumSet.of(Mishap.DOUBLED));
    return out;
  }

  private static void create(Path to, String name, byte[] bytes) throws IOException {
    Path file = to.resolve(name);
    Files.createDirectories(file.getParent());
    Files.write(file, bytes, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
  }

  private byte[] export(byte[] source, Set<Mishap> mishaps, boolean grey) throws IOException {
    BufferedImage image = upright(largestJpeg(source), Tags.of(source).orientation);
    int w = image.getWidth();
    int h = image.getHeight();
    int[] rgb = image.getRGB(0, 0, w, h, null, 0, w);
    for (int i = 0; i < rgb.length; i++) {
      rgb[i] = graded(rgb[i], grey);
    }
    byte[] jpeg = encoder.encode(new Picture(w, h, rgb), QUALITY);
    ByteArrayOutputStream out = new ByteArrayOutputStream(jpeg.length + 8_192);
    out.write(jpeg, 0, 2);
    if (!mishaps.contains(Mishap.STRIPPED)) {
      segment(out, 0xE1, "Exif\0\0", exif(source, w, h));
    }
    if (!mishaps.contains(Mishap.NO_PROFILE)) {
      byte[] profile = ICC_Profile.getInstance(ColorSpace.CS_sRGB).getData();
      segment(out, 0xE2, "ICC_PROFILE\0\1\1", profile);
    }
    int skip = (jpeg[2] & 255) == 0xFF && (jpeg[3] & 255) == 0xE0 ? 2 + u16(jpeg, 4) : 0;
    out.write(jpeg, 2 + skip, jpeg.length - 2 - skip);
    byte[] whole = out.toByteArray();
    return mishaps.contains(Mishap.CUT)
        ? java.util.Arrays.copyOf(whole, whole.length * 2 / 3)
        : whole;
  }

  /** Turned as an editor does: a sample's Orientation is 1, 6 or 8. */
  private static BufferedImage upright(BufferedImage image, int orientation) {
    if (orientation != 6 && orientation != 8) {
      return image;
    }
    int w = image.getWidth();
    int h = image.getHeight();
    BufferedImage turned = new BufferedImage(h, w, BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < w; y++) {
      for (int x = 0; x < h; x++) {
        boolean right = orientation == 6;
        turned.setRGB(x, y, image.getRGB(right ? y : w - 1 - y, right ? h - 1 - x : x));
      }
    }
    return turned;
  }

  /** A third of a stop brighter, a little warmer: what an edit would do. */
  private static int graded(int pixel, boolean grey) {
    int r = brighter(pixel >> 16 & 255, 1.14);
    int g = brighter(pixel >> 8 & 255, 1.12);
    int b = brighter(pixel & 255, 1.08);
    if (grey) {
      int y = (54 * r + 183 * g + 19 * b) >> 8;
      return y << 16 | y << 8 | y;
    }
    return r << 16 | g << 8 | b;
  }

  private static int brighter(int code, double by) {
    return (int) Math.min(255, Math.round(code * by));
  }

  private static void segment(ByteArrayOutputStream out, int marker, String head, byte[] body) {
    byte[] signature = head.getBytes(StandardCharsets.ISO_8859_1);
    int length = 2 + signature.length + body.length;
    out.write(0xFF);
    out.write(marker);
    out.write(length >> 8);
    out.write(length);
    out.writeBytes(signature);
    out.writeBytes(body);
  }

  private static byte[] exif(byte[] source, int width, int height) {
    Tags tags = Tags.of(source);
    Ifd exif =
        new Ifd()
            .undefined(0x9000, "0232".getBytes(StandardCharsets.US_ASCII))
            .ascii(0x9003, tags.text(0x9003))
            .ascii(0x9004, tags.text(0x9003))
            .undefined(0x927C, "MAKERNOTE 4711".getBytes(StandardCharsets.US_ASCII))
            .shorts(0xA001, 1)
            .longs(0xA002, width)
            .longs(0xA003, height)
            .ascii(0xA431, tags.text(0xA431));
    if (!tags.text(0x9291).isEmpty()) {
      exif.ascii(0x9291, tags.text(0x9291));
    }
    Ifd position =
        new Ifd()
            .bytes(0x0000, 2, 3, 0, 0)
            .ascii(0x0001, "N")
            .rationals(0x0002, 46, 1, 12, 1, 3, 1)
            .ascii(0x0003, "E")
            .rationals(0x0004, 6, 1, 8, 1, 30, 1);
    return new Ifd()
        .ascii(0x010F, tags.text(0x010F))
        .ascii(0x0110, tags.text(0x0110))
        .shorts(0x0112, 1)
        .ascii(0x0131, "an editor that doesn't exist")
        .ascii(0x0132, tags.text(0x9003))
        .ascii(0x013B, "A. Photographer")
        .ascii(0x8298, "Copyright A. Photographer")
        .child(0x8769, exif)
        .child(0x8825, position)
        .encode(ByteOrder.LITTLE_ENDIAN);
  }

  /** The largest JPEG that lies in a file, which may be one itself. */
  private static BufferedImage largestJpeg(byte[] source) throws IOException {
    BufferedImage best = null;
    for (int at = 0; at + 3 < source.length; at++) {
      boolean begins =
          source[at] == (byte) 0xFF
              && source[at + 1] == (byte) 0xD8
              && source[at + 2] == (byte) 0xFF;
      if (begins) {
        BufferedImage image = decode(source, at);
        if (image != null && (best == null || image.getWidth() > best.getWidth())) {
          best = image;
        }
      }
    }
    if (best == null) {
      throw new IOException("a frame must hold a JPEG, found none");
    }
    return best;
  }

  private static @Nullable BufferedImage decode(byte[] source, int at) {
    try {
      return ImageIO.read(new ByteArrayInputStream(source, at, source.length - at));
    } catch (IOException | RuntimeException e) {
      return null; // bytes that look like a beginning
    }
  }

  private static int u16(byte[] b, int at) {
    return (b[at] & 255) << 8 | (b[at + 1] & 255);
  }

  /** Texts of the first and the Exif directory of a file of ours. */
  private static final class Tags {
    private final Map<Integer, String> texts = new TreeMap<>();
    private final ByteBuffer tiff;
    private int orientation = 1;

    private Tags(ByteBuffer tiff) {
      this.tiff = tiff;
    }

    static Tags of(byte[] source) {
      int at = 0;
      if (source[0] == (byte) 0xFF) {
        at = 12; // SOI, marker, length, signature
      }
      ByteBuffer b = ByteBuffer.wrap(source, at, source.length - at).slice();
      b.order(b.get(0) == 'I' ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN);
      Tags tags = new Tags(b);
      tags.read(b.getInt(4));
      return tags;
    }

    private void read(int directory) {
      int entries = tiff.getShort(directory) & 0xFFFF;
      for (int i = 0; i < entries; i++) {
        int entry = directory + 2 + 12 * i;
        int tag = tiff.getShort(entry) & 0xFFFF;
        int count = tiff.getInt(entry + 4);
        if (tag == 0x8769) {
          read(tiff.getInt(entry + 8));
        } else if (tag == 0x0112) {
          orientation = tiff.getShort(entry + 8);
        } else if (tiff.getShort(entry + 2) == 2) {
          byte[] text = new byte[count];
          tiff.get(count <= 4 ? entry + 8 : tiff.getInt(entry + 8), text);
          texts.put(tag, new String(text, StandardCharsets.US_ASCII).replace("\0", ""));
        }
      }
    }

    String text(int tag) {
      return texts.getOrDefault(tag, "");
    }
  }
}
