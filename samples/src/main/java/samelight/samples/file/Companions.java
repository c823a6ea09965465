package samelight.samples.file;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;

/** Files that lie beside frames on a card: a stub of a video clip, a voice note. */
public final class Companions {

  private Companions() {}

  /** The smallest ISO base media file (ISO/IEC 14496-12) that names itself: ftyp, free, mdat. */
  public static byte[] clip() {
    ByteBuffer b = ByteBuffer.allocate(24 + 8 + 8 + 64);
    b.putInt(24).put(ascii("ftypmp42")).putInt(0).put(ascii("mp42isom"));
    b.putInt(8).put(ascii("free"));
    b.putInt(72).put(ascii("mdat")).put(new byte[64]);
    return b.array();
  }

  /** A quarter of a second of a soft tone, 8 kHz mono PCM in a RIFF WAVE file. */
  public static byte[] voiceNote() {
    int samples = 2000;
    ByteBuffer b = ByteBuffer.allocate(44 + 2 * samples).order(ByteOrder.LITTLE_ENDIAN);
    b.put(ascii("RIFF")).putInt(36 + 2 * samples).put(ascii("WAVEfmt ")).putInt(16);
    b.putShort((short) 1).putShort((short) 1).putInt(8000).putInt(16000);
    b.putShort((short) 2).putShort((short) 16).put(ascii("data")).putInt(2 * samples);
    for (int i = 0; i < samples; i++) {
      b.putShort((short) (2000 * StrictMath.sin(i * 2 * StrictMath.PI * 440 / 8000)));
    }
    return b.array();
  }

  private static byte[] ascii(String s) {
    return s.getBytes(StandardCharsets.US_ASCII);
  }
}
