package samelight.engine.metadata;

import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;

/**
 * What reading one file gave.
 *
 * @param frame the frame, or null where the file isn't a readable picture; its body's id is
 *     provisional until {@link ShootReader} tells the bodies of a shoot apart
 * @param findings what was wrong or missing; the frame's own findings are the same list
 */
public record Reading(@Nullable Frame frame, List<Finding> findings) {
  /** Copies its list. */
  public Reading {
    findings = List.copyOf(findings);
  }
}
