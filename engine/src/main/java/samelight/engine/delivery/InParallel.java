package samelight.engine.delivery;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.NamedThreads;
import samelight.engine.metadata.ReadProgress;

/** Pictures that are worked on side by side. */
final class InParallel {
  /** At least so many at a time, since each waits for the drive as well as for a core. */
  private static final int WORKERS = 4;

  private InParallel() {}

  /**
   * Does all of it.
   *
   * @return results in the order of the work
   * @throws IOException the first that a piece of work ended with; the others are given up
   */
  static <T extends @Nullable Object> List<T> all(List<Callable<T>> work, ReadProgress progress)
      throws IOException {
    ExecutorService workers =
        NamedThreads.several(
            "deliver", Math.max(WORKERS, Runtime.getRuntime().availableProcessors()));
    List<T> results = new ArrayList<>();
    try {
      List<Future<T>> pending = new ArrayList<>();
      work.forEach(w -> pending.add(workers.submit(w)));
      for (Future<T> f : pending) {
        results.add(f.get());
        progress.read(results.size(), work.size());
      }
      return results;
    } catch (ExecutionException e) {
      workers.shutdownNow();
      if (e.getCause() instanceof IOException io) {
        throw io;
      }
      throw new IllegalStateException(e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("it was interrupted", e);
    } finally {
      workers.shutdown();
    }
  }
}
