package samelight.engine.photometry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class SrgbTransferTest {
  /** colour-science/colour, models/rgb/transfer_functions/srgb.py (BSD). */
  @Test
  void encode_reference() {
    assertThat(SrgbTransfer.encode(0.18)).isCloseTo(0.461356129500442, within(1e-15));
  }

  /** Computed apart from this code. */
  @Test
  void decode_reference() {
    assertThat(SrgbTransfer.decode(118 / 255.0)).isCloseTo(0.18116424424986022, within(1e-15));
    assertThat(SrgbTransfer.decode8(119)).isCloseTo(0.184474994500441, within(1e-15));
    assertThat(SrgbTransfer.decode8(128)).isCloseTo(0.21586050011389926, within(1e-15));
    assertThat(SrgbTransfer.decode(0.5)).isCloseTo(0.21404114048223255, within(1e-15));
    assertThat(SrgbTransfer.encode(0.5) * 255).isCloseTo(187.51603067837462, within(1e-10));
  }

  /** Code values of mid-grey shifted by stops: "sRGB" column, computed apart from this code. */
  @Test
  void encode_stopsFromMidGrey() {
    assertThat(SrgbTransfer.encode(0.18 * Math.pow(2, 1 / 6.0)) * 255)
        .isCloseTo(124.14, within(5e-3));
    assertThat(SrgbTransfer.encode(0.36) * 255).isCloseTo(161.73, within(5e-3));
  }

  @Test
  void ends_areExact() {
    assertThat(SrgbTransfer.decode(0)).isZero();
    assertThat(SrgbTransfer.decode(1)).isEqualTo(1);
    assertThat(SrgbTransfer.encode(0)).isZero();
    assertThat(SrgbTransfer.encode(1)).isCloseTo(1, within(1e-15));
  }

  /** IEC 61966-2-1: the two pieces meet at 0.04045 within the rounding of its constants. */
  @Test
  void decode_joint_isContinuous() {
    assertThat(SrgbTransfer.decode(Math.nextUp(0.04045)) - SrgbTransfer.decode(0.04045))
        .isCloseTo(0, within(1e-7));
  }

  /** Weights: ITU-R BT.709, as in colour-science/colour, models/rgb/ycbcr.py. */
  @Test
  void luminance8_weights() {
    assertThat(SrgbTransfer.luminance8(255, 0, 0)).isEqualTo(0.2126);
    assertThat(SrgbTransfer.luminance8(0, 255, 0)).isEqualTo(0.7152);
    assertThat(SrgbTransfer.luminance8(0, 0, 255)).isEqualTo(0.0722);
    assertThat(SrgbTransfer.luminance8(118, 118, 118))
        .isCloseTo(0.18116424424986022, within(1e-12));
  }

  @ParameterizedTest
  @ValueSource(doubles = {-1e-9, 1.0000001, Double.NaN, Double.POSITIVE_INFINITY})
  void decode_outOfRange_refused(double value) {
    assertThatThrownBy(() -> SrgbTransfer.decode(value))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("encoded sRGB value must lie within 0 and 1, was " + value);
    assertThatThrownBy(() -> SrgbTransfer.encode(value))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("linear value must lie within 0 and 1, was " + value);
  }

  @Test
  void encode8_outOfRange_isClipped() {
    assertThat(SrgbTransfer.encode8(-1)).isZero();
    assertThat(SrgbTransfer.encode8(Double.NaN)).isZero();
    assertThat(SrgbTransfer.encode8(7)).isEqualTo(255);
  }

  @Test
  void decode8_noCode_refused() {
    assertThatThrownBy(() -> SrgbTransfer.decode8(256))
        .isInstanceOf(IndexOutOfBoundsException.class);
  }

  @Property
  void encode8_undoesDecode8(@ForAll @IntRange(max = 255) int code) {
    assertThat(SrgbTransfer.encode8(SrgbTransfer.decode8(code))).isEqualTo(code);
  }

  @Property
  void encode_undoesDecode(@ForAll @Scale(9) @DoubleRange(min = 0, max = 1) double encoded) {
    assertThat(SrgbTransfer.encode(SrgbTransfer.decode(encoded))).isCloseTo(encoded, within(1e-6));
  }
}
