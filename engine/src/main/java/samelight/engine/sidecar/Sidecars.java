package samelight.engine.sidecar;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import samelight.engine.frame.Frame;

/**
 * Which sidecar each frame has or gets. {@code NAME.xmp} and {@code NAME.EXT.xmp} are both
 * followed: an existing sidecar keeps its name, a new one is named as most of the shoot's are.
 */
public final class Sidecars {
  private Sidecars() {}

  /**
   * Looks at the folders of these frames.
   *
   * @param shoot the shoot's folder
   * @param frames all frames of the shoot
   * @throws samelight.engine.files.RefusedInputException if a folder can't be read
   */
  public static Sidecars of(Path shoot, List<Frame> frames) {
    return new Sidecars();
  }

  /** Path, relative to the shoot, of the sidecar that a frame of the shoot has or would get. */
  public String pathFor(Frame frame) {
    return frame.stem() + ".xmp";
  }

  /** The sidecar that a frame has; empty where it has none. */
  public Optional<String> existing(Frame frame) {
    return Optional.empty();
  }

  /**
   * Sidecars of a frame's stem that are not its sidecar, as of second renderings. Never touched.
   */
  public List<String> extra() {
    return List.of();
  }

  /** Sidecars that belong to no frame. Never touched. */
  public List<String> leftOver() {
    return List.of();
  }

  /** Whether the shoot has sidecars of both forms of name. */
  public boolean mixesConventions() {
    return false;
  }
}
