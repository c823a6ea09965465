package samelight.engine.sidecar;

import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;

/**
 * What a frame's sidecar says, apart from the raw editor's properties.
 *
 * @param frame path of the frame relative to the shoot
 * @param sidecar path of the sidecar it has or would get, relative to the shoot
 * @param exists whether there is one
 * @param rating xmp:Rating, -1 to 5, or null where not given
 * @param label xmp:Label, or null where not given
 * @param carried whether an earlier carry wrote it ({@code slr:LastCarried})
 * @param finding why it can't be understood, or null
 */
public record SidecarState(
    String frame,
    String sidecar,
    boolean exists,
    @Nullable Double rating,
    @Nullable String label,
    boolean carried,
    @Nullable Finding finding) {
  /** Whether it is there but can't be understood. */
  public boolean unreadable() {
    return finding != null;
  }
}
