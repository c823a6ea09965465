package samelight.engine.delivery;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * The ICC profile of a JPEG ([ICC], annex B.4: in APP2 segments), and whether it is sRGB's: by its
 * primaries and tone curve, not by its name.
 *
 * @param kind what it is
 * @param name its description, or empty
 */
record ColourProfile(Kind kind, String name) {
  static final String SIGNATURE = "ICC_PROFILE\0";

  /** Kinds of profile. */
  enum Kind {
    /** sRGB, or grey with sRGB's tone curve. */
    SRGB,
    /** No profile. */
    NONE,
    /** Another, or one that can't be understood. */
    OTHER
  }

  /** Columns of the sRGB primaries adapted to D50 ([IEC61966-2-1] through [ICC], Bradford). */
  private static final double[][] PRIMARIES = {
    {0.4361, 0.2225, 0.0139}, {0.3851, 0.7169, 0.0971}, {0.1431, 0.0606, 0.7141}
  };

  private static final String[] COLUMNS = {"rXYZ", "gXYZ", "bXYZ"};
  private static final double NEAR = 0.004;
  private static final int LARGEST = 4 << 20;

  /** The profile of a stream. */
  static ColourProfile of(JpegStream jpeg) {
    TreeMap<Integer, JpegStream.Segment> chunks = new TreeMap<>();
    for (JpegStream.Segment s : jpeg.segments()) {
      if (is(jpeg, s)) {
        chunks.putIfAbsent(jpeg.data()[s.body() + 12] & 255, s);
      }
    }
    if (chunks.isEmpty()) {
      return new ColourProfile(Kind.NONE, "");
    }
    ByteArrayOutputStream whole = new ByteArrayOutputStream();
    for (JpegStream.Segment s : chunks.values()) {
      whole.write(jpeg.data(), s.body() + 14, s.bodyLength() - 14);
      if (whole.size() > LARGEST) {
        break;
      }
    }
    return of(whole.toByteArray());
  }

  /** Whether a segment is a piece of a profile. */
  static boolean is(JpegStream jpeg, JpegStream.Segment s) {
    return s.marker() == JpegStream.APP2 && s.bodyLength() >= 14 && jpeg.begins(s, SIGNATURE);
  }

  /** The profile of these bytes. */
  static ColourProfile of(byte[] profile) {
    ByteBuffer b = ByteBuffer.wrap(profile);
    if (profile.length < 132 || !ascii(b, 36).equals("acsp")) {
      return new ColourProfile(Kind.OTHER, "damaged");
    }
    String name = description(b);
    boolean grey = ascii(b, 16).equals("GRAY");
    boolean same = curve(b, grey ? "kTRC" : "gTRC");
    if (!grey) {
      boolean matrix = false;
      for (int i = 0; i < 3; i++) {
        double[] xyz = xyz(b, COLUMNS[i]);
        matrix |= xyz != null;
        for (int k = 0; xyz != null && k < 3; k++) {
          same &= Math.abs(xyz[k] - PRIMARIES[i][k]) < NEAR;
        }
      }
      if (!matrix) {
        same = name.contains("sRGB"); // a profile of tables: only its name can be read
      }
    }
    return new ColourProfile(same ? Kind.SRGB : Kind.OTHER, name);
  }

  private static String ascii(ByteBuffer b, int at) {
    return new String(bytes(b, at, 4), StandardCharsets.ISO_8859_1);
  }

  private static byte[] bytes(ByteBuffer b, int at, int length) {
    byte[] out = new byte[length];
    b.get(at, out);
    return out;
  }

  /** Where a tag's data lie, or -1. */
  private static int find(ByteBuffer b, String tag, int least) {
    int n = Math.min(100, b.getInt(128));
    for (int i = 0; i < n && 132 + 12 * i + 12 <= b.limit(); i++) {
      int entry = 132 + 12 * i;
      if (ascii(b, entry).equals(tag)) {
        int at = b.getInt(entry + 4);
        return at >= 128 && at <= b.limit() - least ? at : -1;
      }
    }
    return -1;
  }

  private static double @Nullable [] xyz(ByteBuffer b, String tag) {
    int at = find(b, tag, 20);
    return at < 0
        ? null
        : new double[] {
          b.getInt(at + 8) / 65536.0, b.getInt(at + 12) / 65536.0, b.getInt(at + 16) / 65536.0
        };
  }

  /** Whether a tone curve is sRGB's, looked at in three places. */
  private static boolean curve(ByteBuffer b, String tag) {
    int at = find(b, tag, 12);
    if (at < 0) {
      return false;
    }
    boolean same = true;
    for (double x : new double[] {0.1, 0.5, 0.8}) {
      double expected = Math.pow((x + 0.055) / 1.055, 2.4);
      same &= Math.abs(at(b, at, x) - expected) < 0.006;
    }
    return same;
  }

  private static double at(ByteBuffer b, int at, double x) {
    if (ascii(b, at).equals("para")) {
      int[] counts = {1, 3, 4, 5, 7};
      int kind = b.getShort(at + 8);
      if (kind < 0 || kind > 4 || at + 12 + 4 * counts[kind] > b.limit()) {
        return Double.NaN;
      }
      double[] p = new double[7];
      for (int i = 0; i < counts[kind]; i++) {
        p[i] = b.getInt(at + 12 + 4 * i) / 65536.0;
      }
      return switch (kind) {
        case 0 -> Math.pow(x, p[0]);
        case 3 -> x >= p[4] ? Math.pow(p[1] * x + p[2], p[0]) : p[3] * x;
        case 4 -> x >= p[4] ? Math.pow(p[1] * x + p[2], p[0]) + p[5] : p[3] * x + p[6];
        default -> Double.NaN;
      };
    }
    int n = b.getInt(at + 8);
    if (n == 1) {
      return Math.pow(x, (b.getShort(at + 12) & 0xFFFF) / 256.0);
    }
    if (n < 2 || n > (b.limit() - at - 12) / 2) {
      return Double.NaN;
    }
    double place = x * (n - 1);
    int low = (int) place;
    double below = (b.getShort(at + 12 + 2 * low) & 0xFFFF) / 65535.0;
    double above = (b.getShort(at + 12 + 2 * Math.min(n - 1, low + 1)) & 0xFFFF) / 65535.0;
    return below + (place - low) * (above - below);
  }

  private static String description(ByteBuffer b) {
    int at = find(b, "desc", 16);
    if (at < 0) {
      return "";
    }
    String text = "";
    if (ascii(b, at).equals("desc")) {
      int n = b.getInt(at + 8);
      if (n > 0 && n <= b.limit() - at - 12) {
        text = new String(bytes(b, at + 12, n), StandardCharsets.ISO_8859_1);
      }
    } else if (b.limit() - at >= 28) {
      int n = b.getInt(at + 20);
      int from = at + b.getInt(at + 24);
      if (n > 0 && from > 0 && n <= b.limit() - from) {
        text = new String(bytes(b, from, n), StandardCharsets.UTF_16BE);
      }
    }
    text = text.replaceAll("\\p{Cntrl}", "").strip();
    return text.length() > 80 ? text.substring(0, 80) : text;
  }
}
