package samelight.engine.report;

import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;

/**
 * Lets bytes pass, but for the first span from one text to the next other one, both included, which
 * it replaces. In both texts the first character must not come again.
 */
final class SpanReplacement extends FilterOutputStream {
  private final byte[] begin;
  private final byte[] end;
  private final byte[] instead;

  /** The text that is looked for now. */
  private byte[] wanted;

  private int matched;
  private boolean done;

  SpanReplacement(OutputStream out, String begin, String end, String instead) {
    super(out);
    this.begin = begin.getBytes(StandardCharsets.UTF_8);
    this.end = end.getBytes(StandardCharsets.UTF_8);
    this.instead = instead.getBytes(StandardCharsets.UTF_8);
    this.wanted = this.begin;
  }

  @Override
  public void write(int b) throws IOException {
    if (done) {
      out.write(b);
      return;
    }
    boolean passing = wanted == begin;
    if ((byte) b == wanted[matched]) {
      matched++;
      if (matched == wanted.length) {
        matched = 0;
        done = !passing;
        wanted = end;
        if (done) {
          out.write(instead);
        }
      }
      return;
    }
    if (passing) {
      out.write(begin, 0, matched);
    }
    matched = (byte) b == wanted[0] ? 1 : 0;
    if (passing && matched == 0) {
      out.write(b);
    }
  }

  @Override
  public void write(byte[] bytes, int from, int length) throws IOException {
    int i = from;
    while (i < from + length && !done) {
      write(bytes[i++]);
    }
    out.write(bytes, i, from + length - i);
  }
}
