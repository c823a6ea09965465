package samelight.engine.report;

import org.jspecify.annotations.Nullable;
import samelight.engine.report.ReportPage.Picture;

/** Where the pictures of a page come from. */
public interface Pictures {
  /** A frame as shot, or null. */
  @Nullable Picture shot(String file);

  /** A frame with match and grade, or null where that changes nothing. */
  @Nullable Picture matched(String file);

  /** A reference, larger. */
  @Nullable Picture reference(String file);

  /** A reference with its grade, larger, or null where that changes nothing. */
  @Nullable Picture gradedReference(String file);
}
