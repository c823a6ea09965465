package samelight.engine.metadata;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.concurrent.TimeUnit;
import javax.imageio.ImageIO;
import javax.imageio.ImageReadParam;
import javax.imageio.ImageReader;
import javax.imageio.stream.MemoryCacheImageInputStream;
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
 * An embedded JPEG to a small picture, warm, from memory: ours at n/8 against the platform's
 * decoder (javax.imageio) taking every n-th pixel. Pictures are drawn by the tests' own code.
 *
 * <p>{@code mvn -q -pl engine -Pjmh test-compile exec:exec -Djmh.args=DecoderBenchmark}
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 3, time = 1)
@Measurement(iterations = 5, time = 1)
@Fork(1)
public class DecoderBenchmark {
  /** A thumbnail, a preview, a full picture. */
  @Param({"160x120", "1620x1080", "6000x4000"})
  public String pixels;

  /** How the JPEG is coded. */
  @Param({"baseline", "progressive"})
  public String coding;

  private byte[] jpeg;
  private int longer;

  /** Draws and encodes. */
  @Setup
  public void encode() throws IOException {
    String[] sides = pixels.split("x", -1);
    longer = Integer.parseInt(sides[0]);
    jpeg =
        ReducedJpegTest.encode(
            ReducedJpegTest.picture(longer, Integer.parseInt(sides[1])),
            0.9f,
            coding.equals("progressive"));
  }

  /** Ours. */
  @Benchmark
  public Object reduced() throws IOException {
    return ReducedJpeg.decode(ByteSource.memory(jpeg, new Budget()), 0, jpeg.length, 80);
  }

  /** The platform's. */
  @Benchmark
  public Object platform() throws IOException {
    ImageReader reader = ImageIO.getImageReadersByFormatName("jpeg").next();
    try {
      reader.setInput(new MemoryCacheImageInputStream(new ByteArrayInputStream(jpeg)), true, true);
      ImageReadParam param = reader.getDefaultReadParam();
      int step = Math.max(1, longer / 160);
      param.setSourceSubsampling(step, step, 0, 0);
      return reader.read(0, param);
    } finally {
      reader.dispose();
    }
  }
}
