package samelight.engine.report;

import org.jspecify.annotations.Nullable;
import samelight.engine.report.ReportPage.Picture;

/** Where the pictures of a page come from: small ones of frames, large ones of references. */
public interface Pictures {
  /** A frame as shot, or null. */
  @Nullable Picture shot(String file, boolean large);

  /** A frame with match and grade, or null where that changes nothing. */
  @Nullable Picture matched(String file, boolean large);
}
