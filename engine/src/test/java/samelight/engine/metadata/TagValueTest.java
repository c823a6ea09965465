package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.function.Consumer;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;

/** Types of values: TIFF 6.0, pp. 15-16; 16 and 17, of 64 bits, as BigTIFF numbers them. */
class TagValueTest {
  private static double[] numbers(int type, boolean big, int size, Consumer<ByteBuffer> fill) {
    ByteBuffer b = ByteBuffer.allocate(size);
    b.order(big ? ByteOrder.BIG_ENDIAN : ByteOrder.LITTLE_ENDIAN);
    fill.accept(b);
    return new TagValue(0, size, type, big, b.array()).numbers();
  }

  @Property(tries = 200)
  void numbers_ofEachType_areWhatWasPut(
      @ForAll boolean big, @ForAll long n, @ForAll float f, @ForAll double d) {
    int i = (int) n;
    short s = (short) n;
    byte b = (byte) n;
    assertThat(numbers(1, big, 2, x -> x.put(b).put((byte) 7))).containsExactly(b & 0xFF, 7);
    assertThat(numbers(3, big, 4, x -> x.putShort(s).putShort((short) 7)))
        .containsExactly(s & 0xFFFF, 7);
    assertThat(numbers(4, big, 4, x -> x.putInt(i))).containsExactly((double) (i & 0xFFFF_FFFFL));
    assertThat(numbers(5, big, 8, x -> x.putInt(i).putInt(-2)))
        .containsExactly((i & 0xFFFF_FFFFL) / (double) 0xFFFF_FFFEL);
    assertThat(numbers(6, big, 1, x -> x.put(b))).containsExactly(b);
    assertThat(numbers(7, big, 1, x -> x.put(b))).containsExactly(b & 0xFF);
    assertThat(numbers(8, big, 2, x -> x.putShort(s))).containsExactly(s);
    assertThat(numbers(9, big, 8, x -> x.putInt(i).putInt(-7))).containsExactly(i, -7);
    assertThat(numbers(10, big, 8, x -> x.putInt(i).putInt(-2))).containsExactly(i / -2.0);
    assertThat(numbers(11, big, 4, x -> x.putFloat(f))).containsExactly(f);
    assertThat(numbers(12, big, 8, x -> x.putDouble(d))).containsExactly(d);
    assertThat(numbers(17, big, 8, x -> x.putLong(n))).containsExactly((double) n);
  }

  @Test
  void numbers_ofARationalWithoutDenominator_isNotANumber() {
    assertThat(numbers(5, true, 8, x -> x.putInt(1).putInt(0))[0]).isNaN();
  }

  @Test
  void numbers_ofTextOrOfWhatWasNotKept_areNone() {
    assertThat(new TagValue(0, 2, 2, true, new byte[] {'1', 0}).numbers()).isEmpty();
    assertThat(new TagValue(0, 4000, 3, true, new byte[0]).numbers()).isEmpty();
    assertThat(new TagValue(0, 4000, 3, true, new byte[0]).number()).isNaN();
    assertThat(new TagValue(0, 4000, 7, true, new byte[0]).plain()).isNull();
  }

  @Test
  void word_ofFourBytes_isOneNumber() {
    byte[] b = {1, 2, 3, 4};
    assertThat(new TagValue(0, 4, 1, true, b).word()).isEqualTo(0x01020304);
    assertThat(new TagValue(0, 4, 1, false, b).word()).isEqualTo(0x04030201);
    assertThat(new TagValue(0, 4, 4, false, b).word()).isEqualTo(0x04030201);
  }

  @Test
  void text_endsAtItsFirstNul() {
    assertThat(text(2, "  Tern 100\0left\0")).isEqualTo("Tern 100");
    assertThat(text(7, "\0\0Tern\0")).isEqualTo("Tern");
    assertThat(text(2, "\0Tern")).isNull();
    assertThat(text(2, "Caf\u00e9")).isEqualTo("Caf\u00e9");
    assertThat(text(3, "Tern")).isNull();
  }

  private static @org.jspecify.annotations.Nullable String text(int type, String s) {
    byte[] b = s.getBytes(StandardCharsets.UTF_8);
    return new TagValue(9, b.length, type, true, b).text();
  }
}
