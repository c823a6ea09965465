package samelight.engine.sidecar;

import java.util.Map;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/** What the journals of a shoot remember; they are read when somebody first asks. */
final class Remembered {
  private final JournalStore store;
  private @Nullable Map<String, LastCarried> all;

  Remembered(JournalStore store) {
    this.store = store;
  }

  /** What was last carried to a sidecar. */
  Supplier<LastCarried> of(String sidecar) {
    return () -> read().getOrDefault(sidecar, LastCarried.NOTHING);
  }

  private synchronized Map<String, LastCarried> read() {
    Map<String, LastCarried> known = all;
    if (known == null) {
      // without an edit map nothing of an editor was ever carried: large files need not be read
      known = store.maps().isEmpty() ? Map.of() : JournalStore.remembered(store.finished());
      all = known;
    }
    return known;
  }
}
