package samelight.engine.account;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.store.Plan;
import samelight.engine.timeline.Section;

/**
 * How far the frames of a section are; each count is of frames that lie in the shoot now.
 *
 * @param id id of the section; empty for frames in none
 * @param name its name
 * @param read frames
 * @param kept of these, those that are neither rated -1 nor proposed out nor left out
 * @param grouped kept frames in a group
 * @param graded of the groups with a kept frame, those whose reference has its grade
 * @param groups groups with a kept frame
 * @param carried kept frames with a recipe
 * @param needEyes kept frames that need eyes and that nobody has touched
 * @param exported frames with an export
 * @param delivered frames in the gallery
 */
public record SectionCount(
    String id,
    String name,
    int read,
    int kept,
    int grouped,
    int graded,
    int groups,
    int carried,
    int needEyes,
    int exported,
    int delivered) {

  /**
   * Counts, section by section in the order of the day.
   *
   * @param here frames that lie in the shoot now
   * @param looked frames that were looked at by the photographer's own word
   */
  public static List<SectionCount> of(
      Plan plan,
      Standing standing,
      Set<String> here,
      Set<String> looked,
      Set<String> exported,
      Set<String> delivered) {
    Map<String, int[]> counts = new LinkedHashMap<>();
    Map<String, String> names = new LinkedHashMap<>();
    for (Section s : plan.sections()) {
      counts.put(s.id(), new int[9]);
      names.put(s.id(), s.name());
    }
    Set<String> graded = new HashSet<>();
    for (FrameStanding f : standing.frames().values()) {
      if (f.reference() && f.graded() && here.contains(f.frame())) {
        graded.add(f.group());
      }
    }
    Set<String> groups = new HashSet<>();
    for (FrameStanding f : standing.frames().values()) {
      if (!here.contains(f.frame())) {
        continue;
      }
      int[] n = counts.computeIfAbsent(f.section(), s -> new int[9]);
      n[0]++;
      n[7] += exported.contains(f.frame()) ? 1 : 0;
      n[8] += delivered.contains(f.frame()) ? 1 : 0;
      if (f.grouped() && f.kept() && groups.add(f.group())) {
        n[3] += graded.contains(f.group()) ? 1 : 0;
        n[4]++;
      }
      if (f.kept()) {
        n[1]++;
        n[2] += f.grouped() ? 1 : 0;
        n[5] += f.carried() ? 1 : 0;
        boolean finished = exported.contains(f.frame()) || looked.contains(f.frame());
        n[6] += f.needsEyes() && !finished ? 1 : 0;
      }
    }
    List<SectionCount> sections = new ArrayList<>();
    counts.forEach(
        (id, n) -> {
          if (n[0] > 0 || names.containsKey(id)) {
            sections.add(
                new SectionCount(
                    id,
                    names.getOrDefault(id, "no section"),
                    n[0],
                    n[1],
                    n[2],
                    n[3],
                    n[4],
                    n[5],
                    n[6],
                    n[7],
                    n[8]));
          }
        });
    return sections;
  }

  /** The sum of sections. */
  public static SectionCount total(List<SectionCount> sections) {
    SectionCount sum = new SectionCount("", "all", 0, 0, 0, 0, 0, 0, 0, 0, 0);
    for (SectionCount s : sections) {
      sum =
          new SectionCount(
              "",
              "all",
              sum.read + s.read,
              sum.kept + s.kept,
              sum.grouped + s.grouped,
              sum.graded + s.graded,
              sum.groups + s.groups,
              sum.carried + s.carried,
              sum.needEyes + s.needEyes,
              sum.exported + s.exported,
              sum.delivered + s.delivered);
    }
    return sum;
  }
}
