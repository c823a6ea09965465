package samelight.engine.delivery;

import java.nio.file.Path;
import java.util.List;
import samelight.engine.frame.Frame;
import samelight.engine.metadata.ReadProgress;

/** Which frames have been exported, from a look at the heads of the exports. */
public final class ExportLook {
  private ExportLook() {}

  /**
   * Matches the JPEGs of a folder with frames, as a delivery does; reads their heads alone.
   *
   * @param folder folder of the exports
   * @param frames all frames of the shoot
   * @throws samelight.engine.files.RefusedInputException if the folder can't be listed
   */
  public static ExportMatch.Result of(Path folder, List<Frame> frames) {
    List<Export> exports =
        ExportFolder.read(folder, ReadProgress.NONE).heads().stream()
            .map(ExportHead::export)
            .toList();
    return ExportMatch.of(exports, frames);
  }
}
