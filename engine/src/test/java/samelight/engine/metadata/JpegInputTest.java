package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;

class JpegInputTest {
  private static final int BLOCKS = 300;

  /** A table of random codes, complete or not; short ones are as frequent as in pictures. */
  private static HuffmanTable table(Random random) throws IOException {
    int[] counts = new int[16];
    int free = 1;
    int sum = 0;
    for (int length = 1; length <= 16; length++) {
      free *= 2;
      int most = Math.min(Math.min(free, 162 - sum), length < 3 ? 1 : 8);
      counts[length - 1] = random.nextInt(most + 1);
      free -= counts[length - 1];
      sum += counts[length - 1];
    }
    byte[] symbols = new byte[sum];
    for (int i = 0; i < sum; i++) {
      symbols[i] = (byte) (random.nextInt(6) == 0 ? 0 : random.nextInt(256));
    }
    return new HuffmanTable(counts, symbols);
  }

  private static JpegInput bits(byte[] data) throws IOException {
    JpegInput in = new JpegInput(ByteSource.memory(data, new Budget()), 0, data.length);
    in.startBits();
    return in;
  }

  /**
   * Whatever the table and the bits, damaged ones too: one by one and by several end at one bit.
   */
  @Property(tries = 300)
  void skipCoefficients_bySeveral_endsWhereOneByOneDoes(@ForAll long seed) throws IOException {
    Random random = new Random(seed);
    HuffmanTable ac = table(random);
    HuffmanTable dc = table(random);
    byte[] data = new byte[4000];
    random.nextBytes(data);
    for (int i = 0; i < data.length; i++) {
      if (data[i] == -1 && random.nextInt(20) > 0) {
        data[i] = 0;
      }
    }
    JpegInput one = bits(data);
    JpegInput several = bits(data);
    for (int block = 0; block < BLOCKS; block++) {
      int from = 1 + random.nextInt(40);
      assertThat(several.difference(dc)).as("block %d", block).isEqualTo(one.difference(dc));
      for (int k = 1; k < from; k++) {
        assertThat(several.coefficient(ac)).isEqualTo(one.coefficient(ac));
      }
      one.skipCoefficients(ac, from);
      several.skipCoefficients(ac, ac.steps(), from);
      assertThat(several.exhausted()).as("block %d", block).isEqualTo(one.exhausted());
    }
    assertThat(several.coefficient(dc)).isEqualTo(one.coefficient(dc));
  }
}
