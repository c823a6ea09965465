package samelight.engine.hevc;

import java.io.IOException;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * A thumbnail in HEVC to its planes, warm, from memory.
 *
 * <p>{@code mvn -q -pl engine -Pjmh test-compile exec:exec -Djmh.args=HevcBenchmark}
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 3, time = 1)
@Measurement(iterations = 5, time = 1)
@Fork(1)
public class HevcBenchmark {
  /** A thumbnail of 320 x 240 in 8 and in 17 KB, as phones have them. */
  @Param({"big", "large"})
  public String stream;

  private Streams.Item item;

  /** Reads the stream. */
  @Setup
  public void read() throws IOException {
    item = Streams.item(stream);
  }

  /** Decodes it. */
  @Benchmark
  public Object decode() throws IOException {
    return HevcDecoder.decode(item.configuration(), item.data());
  }
}
