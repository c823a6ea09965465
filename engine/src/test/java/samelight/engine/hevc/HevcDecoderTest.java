package samelight.engine.hevc;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Against the planes that ffmpeg 5.1.9 and libde265 1.0.11 decode ({@code planes.txt} among the
 * resources says which of them for each stream), and what is refused.
 */
class HevcDecoderTest {
  static Stream<Streams.Known> streams() throws IOException {
    return Streams.all().stream();
  }

  @ParameterizedTest
  @MethodSource("streams")
  void decode_stream_equalsOtherDecoders(Streams.Known known)
      throws IOException, NoSuchAlgorithmException {
    Streams.Item item = Streams.item(known.name());

    HevcPicture p = HevcDecoder.decode(item.configuration(), item.data());

    assertThat(p.width() + "x" + p.height()).isEqualTo(known.size());
    assertThat(List.of("4:0:0", "4:2:0", "4:2:2", "4:4:4").get(p.chromaFormat()))
        .isEqualTo(known.format());
    assertThat(p.lumaDepth()).isEqualTo(known.bits());
    byte[] sum = MessageDigest.getInstance("SHA-256").digest(bytes(p));
    assertThat(HexFormat.of().formatHex(sum)).isEqualTo(known.sha256());
  }

  private static byte[] bytes(HevcPicture p) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (short[] plane : p.planes()) {
      for (short s : plane) {
        out.write(s);
        if (p.lumaDepth() > 8) {
          out.write(s >> 8);
        }
      }
    }
    return out.toByteArray();
  }

  @Test
  void decode_chroma_hasTheSizesOfItsFormat() throws IOException {
    for (Streams.Known k : Streams.all()) {
      Streams.Item item = Streams.item(k.name());
      HevcPicture p = HevcDecoder.decode(item.configuration(), item.data());
      assertThat(p.planes().get(0)).hasSize(p.width() * p.height());
      for (int c = 1; c < p.planes().size(); c++) {
        assertThat(p.planes().get(c)).as(k.name()).hasSize(p.chromaWidth() * p.chromaHeight());
      }
    }
  }

  @Test
  void decode_cutStream_saysHowMuchIsMissing() throws IOException {
    Streams.Item item = Streams.item("slices");
    // The second of three slices is left out.
    int first = 4 + length(item.data(), 0);
    int second = first + 4 + length(item.data(), first);
    byte[] cut = Arrays.copyOf(item.data(), item.data().length - (second - first));
    System.arraycopy(item.data(), second, cut, first, cut.length - first);

    assertThatThrownBy(() -> HevcDecoder.decode(item.configuration(), cut))
        .isInstanceOf(HevcException.class)
        .hasMessageContaining("all coding tree blocks of a picture; found ");
  }

  private static int length(byte[] data, int at) {
    return java.nio.ByteBuffer.wrap(data).getInt(at);
  }

  @Test
  void decode_lengthBeyondTheData_isRefused() throws IOException {
    Streams.Item item = Streams.item("main420");
    byte[] cut = Arrays.copyOf(item.data(), item.data().length - 1);

    assertThatThrownBy(() -> HevcDecoder.decode(item.configuration(), cut))
        .isInstanceOf(HevcException.class)
        .hasMessageStartingWith("a NAL unit within its data; found ");
  }

  @Test
  void decode_moreSamplesThanTheLimit_isRefusedWithItsSize() throws IOException {
    Streams.Item item = Streams.item("big");
    HevcConfiguration c = HevcConfiguration.of(item.configuration());
    HevcDecoder decoder = new HevcDecoder(320 * 240 - 1);
    decoder.parameterSets(c.units());

    assertThatThrownBy(() -> decoder.decode(NalUnit.split(item.data(), c.lengthSize())))
        .isInstanceOf(HevcException.class)
        .hasMessage("a picture of at most 76799 luma samples; found 320 x 240");
  }

  @Test
  void decode_noParameterSets_isRefused() throws IOException {
    Streams.Item item = Streams.item("main420");
    byte[] empty = Arrays.copyOf(item.configuration(), 23);
    empty[22] = 0;

    assertThatThrownBy(() -> HevcDecoder.decode(empty, item.data()))
        .isInstanceOf(HevcException.class)
        .hasMessage("picture parameter set 0; found none");
  }

  @Test
  void decode_pictureThatRefersToOthers_isRefused() throws IOException {
    Streams.Item item = Streams.item("main420");
    byte[] data = item.data().clone();
    data[4] = 1 << 1; // TRAIL_R

    assertThatThrownBy(() -> HevcDecoder.decode(item.configuration(), data))
        .isInstanceOf(HevcException.class)
        .hasMessage("an HEVC picture that is decoded; found a picture that refers to others");
  }

  /** What was invented while decoding is what decoding the written bytes gives. */
  @Test
  void decode_streamInventedNow_isDecoded() throws IOException {
    for (int seed = 100; seed < 130; seed++) {
      byte[] stream = new InventedStream(seed, seed % 4, 8, 8, seed % 3 > 0).write();
      Streams.Item item = Streams.item(stream);
      HevcPicture p = HevcDecoder.decode(item.configuration(), item.data());
      assertThat(p.planes()).hasSize(seed % 4 == 0 ? 1 : 3);
    }
  }
}
