package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.Analysis;
import samelight.engine.ShootAnalysis;
import samelight.engine.StudiedShoot;
import samelight.engine.frame.Finding;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.metadata.ShootReading;
import samelight.engine.report.Summarise;
import samelight.engine.sidecar.EditMap;
import samelight.engine.sidecar.SidecarReader;
import samelight.engine.store.PhotographerDecisions;
import samelight.engine.store.Plan;

/**
 * What was read of a shoot, with its pictures compared: it can be grouped under any decisions
 * without a second look.
 *
 * @param reading what was read, sidecars' ratings included
 * @param shoot the pictures compared
 * @param edited frames edited before the first carry
 */
record Studied(ShootReading reading, StudiedShoot shoot, Set<String> edited) {
  /** Compares the pictures of what was read, but for those of which the memory knows the answer. */
  static Studied of(
      Path root,
      ShootReading read,
      List<EditMap> maps,
      PhotographerDecisions decisions,
      ComparisonMemory memory) {
    SidecarReader.Marked marked = SidecarReader.mark(root, read.frames());
    Set<String> edited = SidecarReader.editedBefore(root, marked.frames(), maps);
    List<Finding> findings = new ArrayList<>(read.findings());
    findings.addAll(marked.findings());
    return new Studied(
        new ShootReading(marked.frames(), read.files(), read.stamps(), findings),
        ShootAnalysis.study(marked.frames(), decisions.clocks(), memory),
        edited);
  }

  /** The groups under these decisions; their clocks must be those that it was studied with. */
  Analysis analysis(PhotographerDecisions decisions) {
    return shoot.analysis(decisions.options(edited));
  }

  /** Plan and summary of an analysis made here. */
  ShootWork.Grouped grouped(
      PhotographerDecisions decisions, Analysis analysis, @Nullable String setAside) {
    Set<String> graded = new HashSet<>(decisions.grades().keySet());
    Set<String> leftAlone = new HashSet<>(edited);
    for (LightingGroup group : analysis.groups()) {
      if (leftAlone.remove(group.reference())) {
        graded.add(group.reference());
      }
    }
    return new ShootWork.Grouped(
        reading,
        analysis,
        Plan.of(analysis, reading.frames(), decisions),
        Summarise.of(reading, analysis, graded, leftAlone, decisions.keepers()),
        setAside);
  }
}
