package samelight.engine.keepers;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.Parallel;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Marks;
import samelight.engine.metadata.Luma;

/** Measures frames on their largest embedded previews. Files are only read. */
public final class QualityReader {
  /** A longer side that is enough: half of a common preview of 1620 pixels. */
  static final int SIDE = 800;

  /** Below this a preview says too little of sharpness. */
  static final int LEAST_SIDE = 400;

  private QualityReader() {}

  /** Told how far the measuring is; called from several threads, one at a time. */
  @FunctionalInterface
  public interface Progress {
    /**
     * Some more was measured.
     *
     * @param frames measured so far
     * @param allFrames to measure
     * @param bytes of the previews measured so far
     * @param allBytes of all previews
     */
    void at(int frames, int allFrames, long bytes, long allBytes);
  }

  /**
   * Measures all frames.
   *
   * @param progress told how much is done
   * @return in the order of the frames
   */
  public static List<FrameQuality> read(ShootPaths shoot, List<Frame> frames, Progress progress) {
    long all = frames.stream().mapToLong(QualityReader::bytes).sum();
    AtomicLong bytes = new AtomicLong();
    try {
      return Parallel.map(
          frames,
          Parallel.CORES,
          frame -> {
            FrameQuality quality = measure(shoot, frame);
            bytes.addAndGet(bytes(frame));
            return quality;
          },
          done -> progress.at(done, frames.size(), bytes.get(), all));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("interrupted", e);
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
  }

  private static long bytes(Frame frame) {
    EmbeddedJpeg largest = frame.picture().largest();
    return largest == null ? 0 : largest.length();
  }

  /** Measures one frame. */
  public static FrameQuality measure(ShootPaths shoot, Frame frame) {
    Luma luma = luma(shoot, frame);
    Marks marks = frame.marks();
    Double x = marks.focusX();
    Double y = marks.focusY();
    boolean focus = x != null && y != null;
    if (luma == null || Math.max(luma.width(), luma.height()) < LEAST_SIDE) {
      return new FrameQuality(frame.file(), null, focus);
    }
    double atX = x == null ? Double.NaN : x;
    double atY = y == null ? Double.NaN : y;
    return new FrameQuality(frame.file(), Sharpness.of(luma, atX, atY), focus);
  }

  private static @Nullable Luma luma(ShootPaths shoot, Frame frame) {
    try {
      EmbeddedJpeg largest = frame.picture().largest();
      if (largest != null) {
        Path file = shoot.resolveFollowing(frame.file());
        Luma luma = Luma.read(file, largest, SIDE);
        if (luma != null && Math.max(luma.width(), luma.height()) >= LEAST_SIDE) {
          return luma;
        }
      }
      String paired = frame.paired();
      return paired == null ? null : Luma.read(shoot.resolveFollowing(paired), null, SIDE);
    } catch (IOException | RefusedInputException e) {
      return null;
    }
  }
}
