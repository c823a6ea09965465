package samelight.engine.keepers;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.BiConsumer;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.NamedThreads;
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

  /**
   * Measures all frames.
   *
   * @param progress told how many are done, of how many; by any thread
   * @return in the order of the frames
   */
  public static List<FrameQuality> read(
      ShootPaths shoot, List<Frame> frames, BiConsumer<Integer, Integer> progress) {
    int cores = Runtime.getRuntime().availableProcessors();
    ExecutorService pool = NamedThreads.several("samelight-keepers", cores);
    AtomicInteger done = new AtomicInteger();
    try {
      List<Future<FrameQuality>> futures = new ArrayList<>();
      for (Frame frame : frames) {
        futures.add(
            pool.submit(
                () -> {
                  FrameQuality q = measure(shoot, frame);
                  progress.accept(done.incrementAndGet(), frames.size());
                  return q;
                }));
      }
      List<FrameQuality> out = new ArrayList<>();
      for (Future<FrameQuality> future : futures) {
        out.add(future.get());
      }
      return out;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("interrupted", e);
    } catch (ExecutionException e) {
      throw new IllegalStateException(e.getCause());
    } finally {
      pool.shutdownNow();
    }
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
