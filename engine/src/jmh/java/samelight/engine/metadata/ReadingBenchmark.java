package samelight.engine.metadata;

import java.nio.file.Path;
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
 * One file as a frame, warm: fields, white point and pixels of a committed sample through its file.
 *
 * <p>{@code mvn -q -pl engine -Pjmh test-compile exec:exec -Djmh.args=ReadingBenchmark}
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 3, time = 1)
@Measurement(iterations = 5, time = 1)
@Fork(1)
public class ReadingBenchmark {
  /** Which sample. */
  @Param({
    "Canon_1Ds3_cut.cr2",
    "Nikon_D1.nef",
    "Sony_A330.arw",
    "Nikon_D70.jpg",
    "Canon_SD450.dng"
  })
  public String sample;

  private final FrameReader reader = new FrameReader();
  private Path file;

  /** Finds the sample. */
  @Setup
  public void find() {
    file = Samples.file(sample);
  }

  /** Reads it. */
  @Benchmark
  public Reading read() {
    return reader.read(Samples.folder(), file);
  }
}
