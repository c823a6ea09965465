package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.copies.Audit;
import samelight.engine.copies.AuditResult;
import samelight.engine.copies.Drive;

/** Checks copies against their manifests. */
@Command(
    name = "audit",
    description = {
      "Read every file of copied shoots from the drive and compare it with the manifest.",
      "Tells what is missing, changed or extra, and how many copies are in sight. Writes nothing."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight audit DIR")
final class AuditCommand extends ShootCommand {
  private static final int MOST_SHOWN = 50;

  @Parameters(
      paramLabel = "DIR",
      arity = "1..*",
      description = "A copied shoot, or a folder with copied shoots in it.")
  List<Path> folders = new ArrayList<>();

  @Override
  Answer answer() {
    AuditResult result;
    try (BytesLine line = new BytesLine(terminal())) {
      result = Audit.run(folders, Drive::of, line);
    }
    List<String> lines = new ArrayList<>();
    List<Map<String, @Nullable Object>> shoots = new ArrayList<>();
    for (AuditResult.ShootAudit shoot : result.shoots()) {
      lines(shoot, lines);
      shoots.add(json(shoot));
    }
    lines.addAll(result.copies());
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("shoots", shoots);
    json.put("copies", result.copies());
    ExitStatus status =
        result.unreadable()
            ? ExitStatus.REFUSED
            : result.differs() ? ExitStatus.ATTENTION : ExitStatus.DONE;
    return new Answer(status, lines, json);
  }

  private static void lines(AuditResult.ShootAudit shoot, List<String> out) {
    out.add(
        shoot.folder()
            + ": "
            + shoot.right()
            + " of "
            + shoot.files()
            + " files right, "
            + shoot.missing().size()
            + " missing, "
            + shoot.changed().size()
            + " changed, "
            + shoot.extra().size()
            + " extra, "
            + shoot.unreadable().size()
            + " unreadable");
    say(out, "missing", shoot.missing());
    say(out, "moved", shoot.moved());
    say(out, "changed", shoot.changed());
    say(out, "extra", shoot.extra());
    say(out, "unreadable", shoot.unreadable());
    say(out, "lists disagree", shoot.disagree());
    if (shoot.sidecars() > 0) {
      out.add("  " + shoot.sidecars() + " sidecars that came with the work were not compared");
    }
    if (!shoot.direct()) {
      out.add("  this file system can't read past the page cache: some may have come from memory");
    }
    if (!shoot.missing().isEmpty() || !shoot.changed().isEmpty()) {
      out.add("  Fetch these from the other copy or the card; don't let go of either before.");
    }
  }

  private static void say(List<String> out, String what, List<String> files) {
    for (String file : files.subList(0, Math.min(MOST_SHOWN, files.size()))) {
      out.add("  " + what + ": " + file);
    }
    if (files.size() > MOST_SHOWN) {
      out.add("  and " + (files.size() - MOST_SHOWN) + " more " + what + "; --json lists them all");
    }
  }

  private static Map<String, @Nullable Object> json(AuditResult.ShootAudit shoot) {
    Map<String, @Nullable Object> s = new LinkedHashMap<>();
    s.put("folder", shoot.folder());
    s.put("name", shoot.name());
    s.put("files", shoot.files());
    s.put("right", shoot.right());
    s.put("missing", shoot.missing());
    s.put("moved", shoot.moved());
    s.put("changed", shoot.changed());
    s.put("extra", shoot.extra());
    s.put("sidecars", shoot.sidecars());
    s.put("unreadable", shoot.unreadable());
    s.put("listsDisagree", shoot.disagree());
    s.put("pastPageCache", shoot.direct());
    return s;
  }
}
