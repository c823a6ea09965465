package samelight.engine.delivery;

import java.io.IOException;
import java.util.List;
import samelight.engine.files.Parallel;
import samelight.engine.metadata.ReadProgress;

/** Pictures that are worked on side by side. */
final class InParallel {
  /** At least so many at a time, since each waits for the drive as well as for a core. */
  private static final int WORKERS = 4;

  private InParallel() {}

  /**
   * Does something with each picture.
   *
   * @return results in the order of the pictures
   * @throws IOException the first that one ended with; those not yet begun are left out
   */
  static <T, R> List<R> map(List<T> pictures, Parallel.Step<T, R> step, ReadProgress progress)
      throws IOException {
    try {
      return Parallel.map(
          pictures,
          Math.max(WORKERS, Parallel.CORES),
          step,
          done -> progress.read(done, pictures.size()));
    } catch (IOException | RuntimeException e) {
      throw e;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("it was interrupted", e);
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
  }
}
