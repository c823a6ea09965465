package samelight.engine.delivery;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/**
 * The parts of a JPEG (ITU-T T.81, annex B), found without decoding: the segments before the first
 * scan, and where the picture ends.
 */
final class JpegStream {
  static final int APP0 = 0xE0;
  static final int APP1 = 0xE1;
  static final int APP2 = 0xE2;
  static final int APP14 = 0xEE;
  static final int COM = 0xFE;
  private static final int DQT = 0xDB;
  private static final int DRI = 0xDD;
  private static final int SOS = 0xDA;
  private static final int EOI = 0xD9;

  private final byte[] data;
  private final int limit;
  private final List<Segment> segments = new ArrayList<>();
  private int scan = -1;
  private int end = -1;

  /**
   * A marker segment.
   *
   * @param marker the marker's second byte
   * @param at where its marker begins
   * @param length of all of it, marker included
   */
  record Segment(int marker, int at, int length) {
    boolean app() {
      return marker >= APP0 && marker <= 0xEF;
    }

    /** Where its content begins. */
    int body() {
      return at + 4;
    }

    int bodyLength() {
      return length - 4;
    }
  }

  /** A stream that isn't a JPEG, or ends too early. */
  static final class Damaged extends IOException {
    Damaged(String message) {
      super(message);
    }
  }

  /** A head of which more bytes are needed. */
  static final class TooShort extends IOException {
    TooShort() {
      super("ends before its first scan");
    }
  }

  private JpegStream(byte[] data, int limit) {
    this.data = data;
    this.limit = limit;
  }

  /**
   * Reads the segments before the first scan.
   *
   * @param limit bytes of {@code data} that count
   * @throws Damaged if it isn't a JPEG
   * @throws TooShort if the first scan isn't reached
   */
  static JpegStream head(byte[] data, int limit) throws IOException {
    JpegStream s = new JpegStream(data, limit);
    s.readHead();
    return s;
  }

  /**
   * Reads a whole JPEG up to its end.
   *
   * @throws Damaged if it isn't one, or is cut
   */
  static JpegStream whole(byte[] data, int limit) throws IOException {
    JpegStream s = new JpegStream(data, limit);
    try {
      s.readHead();
    } catch (TooShort e) {
      throw new Damaged("ends before its first scan: it is cut");
    }
    s.walk();
    return s;
  }

  List<Segment> segments() {
    return Collections.unmodifiableList(segments);
  }

  /** Where the first scan's header begins. */
  int scan() {
    return scan;
  }

  /** Behind the end-of-image marker; only of a whole stream. */
  int end() {
    return end;
  }

  byte[] data() {
    return data;
  }

  int limit() {
    return limit;
  }

  private void readHead() throws IOException {
    if (limit < 4) {
      throw new Damaged("only " + limit + " bytes");
    }
    if (u8(0) != 0xFF || u8(1) != 0xD8) {
      throw new Damaged("doesn't begin like a JPEG");
    }
    int at = 2;
    boolean frame = false;
    while (true) {
      if (at + 4 > limit) {
        throw new TooShort();
      }
      if (u8(at) != 0xFF) {
        throw new Damaged("no marker at byte " + at);
      }
      int marker = u8(at + 1);
      if (marker == 0xFF) {
        at++; // fill byte, B.1.1.2
        continue;
      }
      if (marker == SOS) {
        if (!frame) {
          throw new Damaged("a scan without a frame header");
        }
        scan = at;
        return;
      }
      if (marker < 0xC0 || (marker >= 0xD0 && marker <= EOI)) {
        throw new Damaged("an odd marker at byte " + at);
      }
      int length = 2 + u16(at + 2);
      if (length < 4) {
        throw new Damaged("a segment without length at byte " + at);
      }
      if (at + length + 4 > limit) {
        throw new TooShort();
      }
      frame |= sof(marker);
      segments.add(new Segment(marker, at, length));
      at += length;
    }
  }

  /** Follows all scans to the end-of-image marker. */
  private void walk() throws IOException {
    int at = scan;
    int scans = 0;
    int components = 0;
    long restarts = 0;
    while (at + 2 <= limit) {
      if (u8(at) != 0xFF) {
        at = nextFF(at);
        continue;
      }
      int marker = u8(at + 1);
      if (marker == 0 || marker == 0x01) {
        at += 2;
      } else if (marker == 0xFF) {
        at++;
      } else if (marker >= 0xD0 && marker <= 0xD7) {
        restarts++;
        at += 2;
      } else if (marker == EOI) {
        end = at + 2;
        checkRestarts(scans, components, restarts);
        return;
      } else if (marker == 0xD8) {
        throw new Damaged("another picture begins before the end of this one, at byte " + at);
      } else {
        if (at + 4 > limit) {
          break;
        }
        if (marker == SOS) {
          scans++;
          components = at + 5 <= limit ? u8(at + 4) : 0;
        }
        at += 2 + Math.max(2, u16(at + 2));
      }
    }
    throw new Damaged("ends before its end-of-image marker: it is cut");
  }

  private int nextFF(int from) {
    int at = from;
    while (at < limit && data[at] != (byte) 0xFF) {
      at++;
    }
    return at;
  }

  /** A single interleaved scan has one restart marker less than restart intervals (E.1.4). */
  private void checkRestarts(int scans, int components, long restarts) throws Damaged {
    int interval = 0;
    for (Segment s : segments) {
      if (s.marker == DRI && s.bodyLength() >= 2) {
        interval = u16(s.body());
      }
    }
    Segment frame = frame();
    if (interval == 0 || scans != 1 || components != components() || u16(frame.body() + 1) == 0) {
      return;
    }
    int h = 1;
    int v = 1;
    for (int i = 0; i < components && components > 1; i++) {
      int factors = u8(frame.body() + 7 + 3 * i);
      h = Math.max(h, factors >> 4);
      v = Math.max(v, factors & 15);
    }
    long units = ceil(width(), 8L * h) * ceil(height(), 8L * v);
    long expected = ceil(units, interval) - 1;
    if (restarts != expected) {
      throw new Damaged(restarts + " restart markers where " + expected + " belong: data are lost");
    }
  }

  private static long ceil(long n, long by) {
    return (n + by - 1) / by;
  }

  private static boolean sof(int marker) {
    return marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
  }

  private Segment frame() throws Damaged {
    for (Segment s : segments) {
      if (sof(s.marker) && s.bodyLength() >= 6 + 3 * u8(s.body() + 5)) {
        return s;
      }
    }
    throw new Damaged("no whole frame header");
  }

  /** Pixels; the height is 0 where a later segment tells it (DNL), which no editor writes. */
  int width() throws Damaged {
    return u16(frame().body() + 3);
  }

  int height() throws Damaged {
    return u16(frame().body() + 1);
  }

  int components() throws Damaged {
    return u8(frame().body() + 5);
  }

  /** Whether the stream is one that every viewer decodes: Huffman-coded, 8 bits. */
  boolean ordinary() throws Damaged {
    Segment f = frame();
    return f.marker <= 0xC2 && u8(f.body()) == 8;
  }

  /** The quantisation table of luma in zigzag order, or an empty array. */
  int[] lumaTable() throws Damaged {
    Segment f = frame();
    int wanted = u8(f.body() + 8);
    for (Segment s : segments) {
      if (s.marker != DQT) {
        continue;
      }
      int at = s.body();
      int stop = s.at + s.length;
      while (at < stop) {
        int kind = u8(at++);
        int bytes = (kind >> 4) == 0 ? 1 : 2;
        if (at + 64 * bytes > stop) {
          break;
        }
        if ((kind & 15) == wanted) {
          int[] table = new int[64];
          for (int i = 0; i < 64; i++) {
            table[i] = bytes == 1 ? u8(at + i) : u16(at + 2 * i);
          }
          return table;
        }
        at += 64 * bytes;
      }
    }
    return new int[0];
  }

  /** Whether a segment's content begins with a signature. */
  boolean begins(Segment s, String signature) {
    if (s.bodyLength() < signature.length()) {
      return false;
    }
    for (int i = 0; i < signature.length(); i++) {
      if (u8(s.body() + i) != signature.charAt(i)) {
        return false;
      }
    }
    return true;
  }

  private int u8(int at) {
    return data[at] & 255;
  }

  private int u16(int at) {
    return u8(at) << 8 | u8(at + 1);
  }
}
