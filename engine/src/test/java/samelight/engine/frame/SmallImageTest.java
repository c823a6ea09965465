package samelight.engine.frame;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.ByteBuffer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SmallImageTest {
  private static final byte[] TWO_BY_ONE = {0, (byte) 128, (byte) 255, 1, 2, 3};

  @Test
  void code_isUnsignedAndByPlace() {
    SmallImage image = new SmallImage(2, 1, TWO_BY_ONE.clone());
    assertThat(image.code(0, 0, 1)).isEqualTo(128);
    assertThat(image.code(0, 0, 2)).isEqualTo(255);
    assertThat(image.code(1, 0, 0)).isEqualTo(1);
  }

  @Test
  void equals_fetchedAndHeldPixels() {
    ByteBuffer outside = ByteBuffer.allocateDirect(6);
    outside.put(TWO_BY_ONE).flip();
    SmallImage fetched = new SmallImage(2, 1, () -> outside);
    SmallImage held = new SmallImage(2, 1, TWO_BY_ONE.clone());
    assertThat(fetched).isEqualTo(held).hasSameHashCodeAs(held);
    assertThat(fetched.rgb()).containsExactly(TWO_BY_ONE);
    assertThat(held).isNotEqualTo(new SmallImage(1, 2, TWO_BY_ONE.clone()));
    assertThat(held).isNotEqualTo(new SmallImage(2, 1, new byte[6]));
  }

  @ParameterizedTest
  @CsvSource({"0, 1", "513, 1", "1, 0", "1, 513"})
  void constructor_sides_refused(int width, int height) {
    assertThatThrownBy(() -> new SmallImage(width, height, new byte[3]))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("small image sides must lie within 1 and 512, were " + width + " x " + height);
  }

  @Test
  void constructor_wrongNumberOfBytes_refused() {
    assertThatThrownBy(() -> new SmallImage(2, 2, new byte[11]))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("small image needs 12 bytes")
        .hasMessageContaining("11");
  }
}
