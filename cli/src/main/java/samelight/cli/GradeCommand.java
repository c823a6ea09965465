package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Grade;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.store.Plan;
import samelight.engine.store.PlanFile;

/** States a grade without a raw editor. */
@Command(
    name = "grade",
    description = {
      "State the grade of a reference without a raw editor.",
      "A grade read through an edit map outranks it."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight grade garden/A/IMG_0412.DNG --ev +0.35 --kelvin 5000 --duv 0.002")
final class GradeCommand extends FrameCommand {
  private static final double MOST_STOPS = 10;

  @Parameters(paramLabel = "FRAME", description = "The reference of a group.")
  @Nullable Path frame;

  @Option(
      names = "--ev",
      required = true,
      paramLabel = "STOPS",
      description = "Stops by which it is brightened (-10 to +10).")
  double ev;

  @Option(
      names = "--kelvin",
      paramLabel = "K",
      description =
          "Colour temperature it is set to (500 to 1,000,000 K); left as shot if not given.")
  @Nullable Double kelvin;

  @Option(
      names = "--duv",
      paramLabel = "DUV",
      description =
          "Tint it is set to, distance from the Planckian locus (-0.2 to 0.2, + is green).")
  @Nullable Double duv;

  @Override
  Answer answer() {
    if (!(Math.abs(ev) <= MOST_STOPS)) {
      throw usage("--ev must lie within -10 and +10, was " + ev);
    }
    Grade grade;
    try {
      grade =
          new Grade(
              new Ev(ev),
              kelvin == null ? null : new Kelvin(kelvin),
              duv == null ? null : new Duv(duv));
    } catch (IllegalArgumentException e) {
      throw usage(String.valueOf(e.getMessage()));
    }
    try (ShootWork work = around(frame)) {
      String file = work.frame(java.util.Objects.requireNonNull(frame));
      Plan plan = PlanFile.read(work.paths());
      Plan graded = plan.withDecisions(plan.decisions().withGrade(file, grade));
      PlanFile.write(work.paths(), graded);
      return answer(file, grade, groupOf(file, graded));
    }
  }

  private static Answer answer(String file, Grade grade, @Nullable LightingGroup group) {
    boolean counts = group != null && group.reference().equals(file);
    List<String> lines = new ArrayList<>();
    var kelvin = grade.kelvin();
    var duv = grade.duv();
    lines.add(
        String.format(
            Locale.ROOT,
            "%s is graded %+.2f EV%s%s.",
            file,
            grade.exposure().stops(),
            kelvin == null ? "" : String.format(Locale.ROOT, ", %.0f K", kelvin.value()),
            duv == null ? "" : String.format(Locale.ROOT, ", Duv %+.4f", duv.value())));
    if (group == null) {
      lines.add("It is in no group, so the grade reaches no other frame.");
    } else if (counts) {
      lines.add("Next: `samelight carry SHOOT --group " + group.id() + "`.");
    } else {
      lines.add(
          "It isn't the reference of group "
              + group.id()
              + " ("
              + group.reference()
              + " is): the grade counts once it is. Next: `samelight reference` with this frame.");
    }
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("frame", file);
    json.put("ev", grade.exposure().stops());
    json.put("kelvin", kelvin == null ? null : kelvin.value());
    json.put("duv", duv == null ? null : duv.value());
    json.put("group", group == null ? null : group.id());
    json.put("isReference", counts);
    return new Answer(counts ? ExitStatus.DONE : ExitStatus.ATTENTION, lines, json);
  }
}
