package samelight.engine.sidecar;

import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.Charset;
import java.nio.charset.CharsetEncoder;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Bytes of an XML file as text and back, in the same encoding: by byte order mark, by the look of
 * the first bytes, by the XML declaration, else UTF-8 (XML 1.0, appendix F). Bytes that are wrong
 * in that encoding are refused, never replaced.
 *
 * @param charset the encoding
 * @param mark the bytes of the byte order mark as ISO 8859-1, empty where there is none
 */
record XmpEncoding(Charset charset, String mark) {
  private static final Charset UTF_32BE = Charset.forName("UTF-32BE");
  private static final Charset UTF_32LE = Charset.forName("UTF-32LE");
  private static final char REPLACEMENT = '\uFFFD';
  private static final Pattern DECLARED =
      Pattern.compile("^<\\?xml\\s[^>]*?encoding\\s*=\\s*[\"']([A-Za-z0-9._-]+)[\"']");

  static XmpEncoding of(byte[] b) throws XmpRefusedException {
    if (starts(b, 0, 0, 0xFE, 0xFF)) {
      return new XmpEncoding(UTF_32BE, mark(b, 4));
    }
    if (starts(b, 0xFF, 0xFE, 0, 0)) {
      return new XmpEncoding(UTF_32LE, mark(b, 4));
    }
    if (starts(b, 0xEF, 0xBB, 0xBF)) {
      return new XmpEncoding(StandardCharsets.UTF_8, mark(b, 3));
    }
    if (starts(b, 0xFE, 0xFF)) {
      return new XmpEncoding(StandardCharsets.UTF_16BE, mark(b, 2));
    }
    if (starts(b, 0xFF, 0xFE)) {
      return new XmpEncoding(StandardCharsets.UTF_16LE, mark(b, 2));
    }
    if (starts(b, 0, 0, 0, '<')) {
      return new XmpEncoding(UTF_32BE, "");
    }
    if (starts(b, '<', 0, 0, 0)) {
      return new XmpEncoding(UTF_32LE, "");
    }
    if (starts(b, 0, '<')) {
      return new XmpEncoding(StandardCharsets.UTF_16BE, "");
    }
    if (starts(b, '<', 0)) {
      return new XmpEncoding(StandardCharsets.UTF_16LE, "");
    }
    String start = new String(b, 0, Math.min(b.length, 200), StandardCharsets.ISO_8859_1);
    Matcher m = DECLARED.matcher(start);
    String name = m.find() ? m.group(1).toUpperCase(Locale.ROOT) : "UTF-8";
    return switch (name) {
      case "UTF-8", "UTF8" -> new XmpEncoding(StandardCharsets.UTF_8, "");
      case "US-ASCII", "ASCII" -> new XmpEncoding(StandardCharsets.US_ASCII, "");
      case "ISO-8859-1" -> new XmpEncoding(StandardCharsets.ISO_8859_1, "");
      default -> throw new XmpRefusedException("an encoding of XMP (UTF-8, UTF-16, UTF-32)", name);
    };
  }

  String decode(byte[] bytes) throws XmpRefusedException {
    String text = text(bytes);
    if (text.indexOf('\0') >= 0) {
      throw new XmpRefusedException("text without NUL characters", "NUL");
    }
    return text;
  }

  private String text(byte[] bytes) throws XmpRefusedException {
    int from = mark.length();
    if (charset.equals(StandardCharsets.UTF_8)) {
      String text = new String(bytes, from, bytes.length - from, charset);
      if (text.indexOf(REPLACEMENT) < 0) {
        return text; // wrong bytes would have been replaced
      }
    }
    ByteBuffer rest = ByteBuffer.wrap(bytes, from, bytes.length - from);
    try {
      return charset
          .newDecoder()
          .onMalformedInput(CodingErrorAction.REPORT)
          .onUnmappableCharacter(CodingErrorAction.REPORT)
          .decode(rest)
          .toString();
    } catch (CharacterCodingException e) {
      throw new XmpRefusedException(
          "bytes that are valid " + charset.name(), "others at byte " + rest.position());
    }
  }

  byte[] encode(String text) {
    byte[] first = mark.getBytes(StandardCharsets.ISO_8859_1);
    byte[] all = text.getBytes(charset);
    if (!new String(all, charset).equals(text)) {
      all = slowly(text);
    }
    byte[] bytes = java.util.Arrays.copyOf(first, first.length + all.length);
    System.arraycopy(all, 0, bytes, first.length, all.length);
    return bytes;
  }

  /** With a reference in place of each character that the encoding lacks. */
  private byte[] slowly(String text) {
    CharsetEncoder encoder = charset.newEncoder();
    StringBuilder safe = null;
    if (!encoder.canEncode(text)) {
      safe = new StringBuilder();
      for (int i = 0; i < text.length(); ) {
        int c = text.codePointAt(i);
        String s = Character.toString(c);
        safe.append(encoder.canEncode(s) ? s : "&#" + c + ";");
        i += Character.charCount(c);
      }
    }
    ByteBuffer out = charset.encode(CharBuffer.wrap(safe == null ? text : safe));
    byte[] bytes = new byte[out.remaining()];
    out.get(bytes);
    return bytes;
  }

  private static boolean starts(byte[] b, int... first) {
    if (b.length < first.length) {
      return false;
    }
    for (int i = 0; i < first.length; i++) {
      if ((b[i] & 0xFF) != first[i]) {
        return false;
      }
    }
    return true;
  }

  private static String mark(byte[] b, int n) {
    return new String(b, 0, n, StandardCharsets.ISO_8859_1);
  }
}
