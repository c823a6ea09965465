package samelight.engine.hevc;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.util.Arrays;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.constraints.IntRange;

/** Damaged streams end in a picture or a refusal, within bounds. */
class DamagedStreamsTest {
  private static final long MOST_BYTES = 64L << 20;

  private static final com.sun.management.ThreadMXBean THREADS =
      (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();

  @Provide
  Arbitrary<String> names() throws IOException {
    return Arbitraries.of(Streams.all().stream().map(Streams.Known::name).toList());
  }

  @Property(tries = 300)
  void decode_flippedBits_endsInAPictureOrARefusal(
      @ForAll("names") String name, @ForAll List<@IntRange(min = 0) Integer> places)
      throws IOException {
    Streams.Item item = Streams.item(name);
    int sets = item.configuration().length;
    for (int place : places) {
      int bit = place % ((sets + item.data().length) * 8);
      byte[] part = bit < sets * 8 ? item.configuration() : item.data();
      int at = bit < sets * 8 ? bit : bit - sets * 8;
      part[at >> 3] ^= (byte) (1 << (at & 7));
    }
    check(item);
  }

  @Property(tries = 300)
  void decode_cutStream_endsInARefusal(
      @ForAll("names") String name, @ForAll @IntRange(min = 8, max = 90) int percent)
      throws IOException {
    byte[] stream = Streams.bytes(name + ".hevc");
    check(Streams.item(Arrays.copyOf(stream, stream.length * percent / 100)));
  }

  @Property(tries = 300)
  void decode_anyBytes_endsInARefusal(@ForAll byte[] configuration, @ForAll byte[] data) {
    check(new Streams.Item(configuration, data));
  }

  private static void check(Streams.Item item) {
    long before = THREADS.getCurrentThreadAllocatedBytes();
    try {
      HevcPicture p = HevcDecoder.decode(item.configuration(), item.data());
      assertThat((long) p.width() * p.height()).isBetween(1L, (long) HevcDecoder.MAX_SAMPLES);
      assertThat(p.planes().get(0)).hasSize(p.width() * p.height());
    } catch (HevcException e) {
      assertThat(e.rule()).isNotEmpty();
      assertThat(e.actual()).isNotEmpty();
    }
    assertThat(THREADS.getCurrentThreadAllocatedBytes() - before).isLessThan(MOST_BYTES);
  }
}
