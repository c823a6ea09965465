package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.hevc.ColourSignal;
import samelight.engine.hevc.HevcPicture;

class HevcColoursTest {
  private static byte[] grey(int code, int depth, ColourSignal colour) throws IOException {
    short half = (short) (1 << (depth - 1));
    HevcPicture p =
        new HevcPicture(
            1,
            1,
            3,
            depth,
            depth,
            colour,
            List.of(new short[] {(short) code}, new short[] {half}, new short[] {half}));
    return HevcColours.rgb(p, colour);
  }

  /**
   * Reference levels of [BT.2408], Table 1, as codes of 10 bits, full range: reference white is 58
   * % in PQ and 75 % in HLG, both 203 cd/m2; grey of 18 % is 38 % in both, 26 cd/m2, which over 203
   * in sRGB is 0.396 x 255 = 101. From memory.
   */
  @ParameterizedTest
  @CsvSource({"16,593,255,1", "18,767,255,1", "16,389,101,2", "18,389,101,2", "16,0,0,0"})
  void rgb_highDynamicRange_isTheLightOfItsDisplay(int transfer, int code, int srgb, int error)
      throws IOException {
    byte[] rgb = grey(code, 10, new ColourSignal(9, transfer, 9, true));
    assertThat(rgb[0] & 0xFF).isCloseTo(srgb, within(error));
    assertThat(rgb[1] & 0xFF).isCloseTo(srgb, within(error));
    assertThat(rgb[2] & 0xFF).isCloseTo(srgb, within(error));
  }

  /** 100 cd/m2 is 0.508 in PQ (SMPTE ST 2084, from memory); over 203 in sRGB that is 0.730. */
  @Test
  void rgb_hundredCandelas_isHalfTheReferenceWhite() throws IOException {
    byte[] rgb = grey((int) Math.round(0.5081 * 1023), 10, new ColourSignal(1, 16, 1, true));
    assertThat(rgb[0] & 0xFF).isCloseTo(186, within(1));
  }

  /** Red, green and blue of [BT709] as 8-bit codes, limited range: published colour bars. */
  @ParameterizedTest
  @CsvSource({
    "63,102,240,255,0,0",
    "173,42,26,0,255,0",
    "32,240,118,0,0,255",
    "235,128,128,255,255,255"
  })
  void rgb_primariesOf709_comeBack(int y, int cb, int cr, int r, int g, int b) throws IOException {
    ColourSignal c = new ColourSignal(1, 1, 1, false);
    HevcPicture p =
        new HevcPicture(
            1,
            1,
            3,
            8,
            8,
            c,
            List.of(new short[] {(short) y}, new short[] {(short) cb}, new short[] {(short) cr}));
    byte[] rgb = HevcColours.rgb(p, c);
    assertThat(rgb[0] & 0xFF).isCloseTo(r, within(2));
    assertThat(rgb[1] & 0xFF).isCloseTo(g, within(2));
    assertThat(rgb[2] & 0xFF).isCloseTo(b, within(2));
  }

  @Test
  void rgb_unknownMatrix_isRefused() {
    assertThatThrownBy(() -> grey(1, 8, new ColourSignal(1, 1, 8, true)))
        .isInstanceOf(ReducedJpeg.Unsupported.class)
        .hasMessage("HEVC with matrix coefficients 8");
  }
}
