package samelight.engine.store;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Finding;
import samelight.engine.keepers.Keeping;
import samelight.engine.lighting.Decisions;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.Section;

/** Reads and writes {@code samelight/plan.json}. */
public final class PlanFile {
  /** Version of the format that this code writes, and the highest that it reads. */
  static final int VERSION = 1;

  /** Where it lies, relative to the shoot. */
  public static final String NAME = "samelight/plan.json";

  private PlanFile() {}

  /** Whether the shoot has one. */
  public static boolean exists(ShootPaths shoot) {
    return Files.exists(shoot.resolve(NAME), LinkOption.NOFOLLOW_LINKS);
  }

  /**
   * Reads the plan of a shoot.
   *
   * @throws samelight.engine.files.RefusedInputException if it is missing, unreadable, not a plan,
   *     or has a path that leaves the shoot; the message names line and field
   */
  public static Plan read(ShootPaths shoot) {
    return PlanReader.read(shoot.resolve(NAME));
  }

  /**
   * Writes the plan of a shoot durably; the caller holds the shoot's lock.
   *
   * @throws samelight.engine.files.CouldNotWriteException if it can't be written; the old plan is
   *     then untouched
   */
  public static void write(ShootPaths shoot, Plan plan) {
    Path file = shoot.resolve(NAME);
    DurableFile.write(file, out -> write(out, plan));
  }

  /**
   * Writes a plan as a shoot's plan.json has it.
   *
   * @throws IOException if {@code out} does
   */
  public static void write(OutputStream out, Plan plan) throws IOException {
    JsonOut.write(out, json -> document(json, plan));
  }

  static byte[] bytes(Plan plan) {
    return JsonOut.bytes(out -> document(out, plan));
  }

  private static void document(JsonOut out, Plan plan) throws IOException {
    out.field("version", VERSION);
    out.object("decisions", () -> decisions(out, plan.decisions()));
    out.array(
        "bodies",
        () -> {
          for (BodyClock body : plan.bodies()) {
            out.object(() -> body(out, body));
          }
        });
    out.array(
        "sections",
        () -> {
          for (Section section : plan.sections()) {
            out.object(
                () -> {
                  out.field("id", section.id());
                  out.field("name", section.name());
                  out.field("from", JsonOut.time(section.from()));
                  out.field("to", JsonOut.time(section.to()));
                });
          }
        });
    out.array(
        "groups",
        () -> {
          for (LightingGroup group : plan.groups()) {
            out.object(
                () -> {
                  out.field("id", group.id());
                  out.field("section", group.section());
                  out.field("reference", group.reference());
                  out.strings("frames", group.frames());
                });
          }
        });
    out.array(
        "pairs",
        () -> {
          for (Map.Entry<String, String> pair : plan.pairs().entrySet()) {
            out.object(
                () -> {
                  out.field("file", pair.getKey());
                  out.field("paired", pair.getValue());
                });
          }
        });
    out.array(
        "matches",
        () -> {
          for (LightingGroup group : plan.groups()) {
            for (String frame : group.frames()) {
              Match match = plan.matches().get(frame);
              if (match != null) {
                out.object(() -> match(out, match));
              }
            }
          }
        });
    out.array(
        "unmatched",
        () -> {
          for (Map.Entry<String, String> frame : plan.unmatched().entrySet()) {
            out.object(
                () -> {
                  out.field("frame", frame.getKey());
                  out.field("reason", frame.getValue());
                });
          }
        });
    findings(out, plan.findings());
  }

  static void findings(JsonOut out, List<Finding> findings) throws IOException {
    out.array(
        "findings",
        () -> {
          for (Finding finding : findings) {
            out.object(
                () -> {
                  out.field("file", finding.file());
                  Long offset = finding.offset();
                  if (offset != null) {
                    out.field("offset", offset.longValue());
                  }
                  out.field("rule", finding.rule());
                  out.field("actual", finding.actual());
                  out.field("action", finding.action());
                });
          }
        });
  }

  private static void body(JsonOut out, BodyClock body) throws IOException {
    out.field("id", body.body().id());
    out.field("make", body.body().make());
    out.field("model", body.body().model());
    out.field("serial", body.body().serial());
    out.field("clockOffsetSeconds", body.offsetSeconds());
    out.optional("clockSigmaSeconds", body.sigmaSeconds());
    out.field("clockSource", JsonOut.word(body.source()));
  }

  private static void match(JsonOut out, Match match) throws IOException {
    out.field("frame", match.frame());
    out.field("reference", match.reference());
    out.field("stops", match.stops().stops());
    out.field("stopsSigma", match.stopsSigma().stops());
    out.field("mired", match.mired().value());
    out.field("miredSigma", match.miredSigma().value());
    out.field("duv", match.duv().value());
    out.field("settingsStops", match.evidence().settings().stops());
    out.field("lightStops", match.evidence().light().stops());
    out.field("method", match.evidence().method());
    out.strings("needsEyes", match.needsEyes());
  }

  private static void decisions(JsonOut out, PhotographerDecisions decisions) throws IOException {
    Decisions lighting = decisions.lighting();
    out.field("follow", decisions.follow());
    out.strings("references", lighting.references());
    out.strings("splits", lighting.splits());
    out.array(
        "joins",
        () -> {
          for (Decisions.Join join : lighting.joins()) {
            out.object(
                () -> {
                  out.field("first", join.first());
                  out.field("second", join.second());
                });
          }
        });
    out.array(
        "moves",
        () -> {
          for (Decisions.Move move : lighting.moves()) {
            out.object(
                () -> {
                  out.field("frame", move.frame());
                  out.field("to", move.to());
                });
          }
        });
    out.strings("leftOut", lighting.leftOut());
    out.array(
        "sectionNames",
        () -> {
          for (Map.Entry<String, String> name : new TreeMap<>(lighting.sectionNames()).entrySet()) {
            out.object(
                () -> {
                  out.field("frame", name.getKey());
                  out.field("name", name.getValue());
                });
          }
        });
    out.array(
        "clocks",
        () -> {
          for (Map.Entry<String, Double> clock : decisions.clocks().entrySet()) {
            out.object(
                () -> {
                  out.field("body", clock.getKey());
                  out.field("seconds", clock.getValue().doubleValue());
                });
          }
        });
    if (!decisions.keepers().equals(Keeping.NONE)) {
      out.object("keepers", () -> KeepersJson.write(out, decisions.keepers()));
    }
    out.array(
        "grades",
        () -> {
          for (Map.Entry<String, Grade> entry : decisions.grades().entrySet()) {
            Grade grade = entry.getValue();
            var kelvin = grade.kelvin();
            var duv = grade.duv();
            out.object(
                () -> {
                  out.field("frame", entry.getKey());
                  out.field("ev", grade.exposure().stops());
                  out.optional("kelvin", kelvin == null ? null : kelvin.value());
                  out.optional("duv", duv == null ? null : duv.value());
                });
          }
        });
  }
}
