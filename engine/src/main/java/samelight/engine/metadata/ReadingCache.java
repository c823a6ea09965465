package samelight.engine.metadata;

import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;

/** What an earlier run read, so that only what changed is read again. */
@FunctionalInterface
public interface ReadingCache {
  /** Nothing known. */
  ReadingCache NONE = file -> null;

  /**
   * What is known of a file.
   *
   * @param file path relative to the shoot, with {@code /}
   * @return null where the file has to be read
   */
  @Nullable Known known(String file);

  /**
   * Told of each frame that was read anew, by several threads. What it returns stands in the
   * result, so that a cache can keep the pixels outside the heap.
   *
   * @return an equal frame
   */
  default Frame keep(Frame read) {
    return read;
  }

  /**
   * One file as read earlier.
   *
   * @param stamp the file's stamp at that time; if it differs now, the file is read again
   * @param frame the frame, also of a JPEG that stands in a pair; or null where the file was
   *     unreadable, or where it is the JPEG of a pair and only the raw's frame was kept
   * @param findings findings of the file's own reading; of a kept frame, its findings
   */
  record Known(FileStamp stamp, @Nullable Frame frame, List<Finding> findings) {
    /** Copies its list. */
    public Known {
      findings = List.copyOf(findings);
    }
  }
}
