package samelight.engine.sidecar;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;

/**
 * What is to be carried.
 *
 * @param shoot the shoot's folder
 * @param frames all frames of the shoot
 * @param groups all groups of the shoot; each of one kind of file
 * @param matches match of each grouped frame to its reference, by frame
 * @param grades grades stated without a raw editor, by reference; used where no edit map gives one
 * @param editMaps maps of the raw editor's properties, at most one for each kind of file; empty
 *     where only our own properties are to be written
 * @param onlyGroups ids of the groups to carry; empty for all
 * @param overTouches whether properties that a person changed since the last carry are carried over
 * @param proposedOut frames that the keepers proposed out: they get no recipe unless a person rated
 *     them
 */
public record CarryRequest(
    Path shoot,
    List<Frame> frames,
    List<LightingGroup> groups,
    Map<String, Match> matches,
    Map<String, Grade> grades,
    List<EditMap> editMaps,
    Set<String> onlyGroups,
    boolean overTouches,
    Set<String> proposedOut) {
  /** With no frame proposed out. */
  public CarryRequest(
      Path shoot,
      List<Frame> frames,
      List<LightingGroup> groups,
      Map<String, Match> matches,
      Map<String, Grade> grades,
      List<EditMap> editMaps,
      Set<String> onlyGroups,
      boolean overTouches) {
    this(shoot, frames, groups, matches, grades, editMaps, onlyGroups, overTouches, Set.of());
  }

  /** Copies its collections. */
  public CarryRequest {
    frames = List.copyOf(frames);
    groups = List.copyOf(groups);
    matches = Map.copyOf(matches);
    grades = Map.copyOf(grades);
    editMaps = List.copyOf(editMaps);
    onlyGroups = Set.copyOf(onlyGroups);
    proposedOut = Set.copyOf(proposedOut);
  }
}
