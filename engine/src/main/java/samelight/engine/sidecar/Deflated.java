package samelight.engine.sidecar;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.zip.DataFormatException;
import java.util.zip.Deflater;
import java.util.zip.Inflater;

/** Old content as the journal holds it: deflated (RFC 1951 in the wrapping of RFC 1950). */
final class Deflated {
  private Deflated() {}

  static byte[] deflate(byte[] bytes) {
    Deflater deflater = new Deflater(Deflater.BEST_SPEED);
    try {
      deflater.setInput(bytes);
      deflater.finish();
      ByteArrayOutputStream out = new ByteArrayOutputStream(bytes.length / 3 + 64);
      byte[] buffer = new byte[8192];
      while (!deflater.finished()) {
        out.write(buffer, 0, deflater.deflate(buffer));
      }
      return out.toByteArray();
    } finally {
      deflater.end();
    }
  }

  /**
   * The content again.
   *
   * @throws IOException if it is damaged, or larger than a sidecar can be
   */
  static byte[] inflate(byte[] deflated) throws IOException {
    Inflater inflater = new Inflater();
    try {
      inflater.setInput(deflated);
      ByteArrayOutputStream out = new ByteArrayOutputStream(deflated.length * 3);
      byte[] buffer = new byte[8192];
      while (!inflater.finished()) {
        int n = inflater.inflate(buffer);
        if (n == 0 && (inflater.needsInput() || inflater.needsDictionary())) {
          throw new IOException("old content ends too early");
        }
        out.write(buffer, 0, n);
        if (out.size() > XmpPacket.MAX_BYTES) {
          throw new IOException("old content is larger than a sidecar can be");
        }
      }
      return out.toByteArray();
    } catch (DataFormatException e) {
      throw new IOException("old content is damaged", e);
    } finally {
      inflater.end();
    }
  }
}
