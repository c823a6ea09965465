package samelight.engine.files;

import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.ThreadFactory;

/** Threads that don't keep a process alive. */
public final class NamedThreads {
  private NamedThreads() {}

  /** So many threads. */
  public static ExecutorService several(String name, int threads) {
    return Executors.newFixedThreadPool(threads, maker(name));
  }

  private static ThreadFactory maker(String name) {
    return task -> {
      Thread thread = new Thread(task, name);
      thread.setDaemon(true);
      return thread;
    };
  }

  /** One thread that takes one task after another. */
  public static ExecutorService single(String name) {
    return Executors.newSingleThreadExecutor(maker(name));
  }
}
