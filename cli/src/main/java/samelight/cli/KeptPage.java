package samelight.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootPaths;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PlanFile;

/**
 * The review page of a shoot as its plan is, kept beside it, so that {@code review} shows something
 * at once and reads the shoot meanwhile. It counts only for the very plan.json and frames.json that
 * it was made of, and for the program that made it; else it is as if there were none.
 */
final class KeptPage {
  /** Where it lies, relative to the shoot. */
  static final String NAME = "samelight/review-page.html";

  private KeptPage() {}

  /** The page, or null where none fits. */
  static byte @Nullable [] read(ShootPaths paths) {
    try {
      byte[] kept = Files.readAllBytes(paths.resolve(NAME));
      byte[] key = key(paths);
      return kept.length > key.length && Arrays.equals(kept, 0, key.length, key, 0, key.length)
          ? Arrays.copyOfRange(kept, key.length, kept.length)
          : null;
    } catch (IOException e) {
      return null;
    }
  }

  /** Keeps the page of the plan as it is on the disk; the caller holds the shoot's lock. */
  static void write(ShootPaths paths, byte[] page) {
    byte[] key;
    try {
      key = key(paths);
    } catch (IOException e) {
      return; // it is made when it is asked for
    }
    DurableFile.write(
        paths.resolve(NAME),
        out -> {
          out.write(key);
          out.write(page);
        });
  }

  private static byte[] key(ShootPaths paths) throws IOException {
    String key =
        String.join(
            " ",
            "<!-- of",
            Stamps.of(paths.resolve(PlanFile.NAME)),
            Stamps.of(paths.resolve(FrameStore.NAME)),
            Stamps.ofProgram(),
            Integer.toHexString(paths.name().hashCode()),
            "-->\n");
    return key.getBytes(StandardCharsets.UTF_8);
  }
}
