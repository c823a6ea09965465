package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.List;

/** A group in the making. */
final class GroupDraft {
  final int section;

  /** Whether its frames are JPEGs alone: a raw grade never reaches a JPEG. */
  final boolean jpeg;

  /** Places of its frames in the order of the day. */
  final List<Integer> frames = new ArrayList<>();

  GroupDraft(int section, boolean jpeg) {
    this.section = section;
    this.jpeg = jpeg;
  }

  GroupDraft copy() {
    GroupDraft d = new GroupDraft(section, jpeg);
    d.frames.addAll(frames);
    return d;
  }
}
