package samelight.engine.files;

import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;

/** Threads that don't keep a process alive. */
public final class NamedThreads {
  private NamedThreads() {}

  /** One thread that takes one task after another. */
  public static ExecutorService single(String name) {
    return Executors.newSingleThreadExecutor(
        task -> {
          Thread thread = new Thread(task, name);
          thread.setDaemon(true);
          return thread;
        });
  }
}
