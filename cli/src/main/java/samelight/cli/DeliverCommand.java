package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.delivery.Deliver;
import samelight.engine.delivery.DeliverRequest;
import samelight.engine.delivery.DeliverResult;
import samelight.engine.delivery.DeliveredFile;
import samelight.engine.delivery.Delivery;
import samelight.engine.delivery.DeliveryFinding;
import samelight.engine.frame.Frame;
import samelight.engine.metadata.ShootReading;
import samelight.engine.report.Wording;
import samelight.engine.sidecar.SidecarReader;
import samelight.engine.store.FrameStore;
import samelight.engine.store.Plan;
import samelight.engine.store.PlanFile;
import samelight.engine.timeline.BodyClocks;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/** Puts exported JPEGs into the gallery for the client. */
@Command(
    name = "deliver",
    description = {
      "Check the exported JPEGs against the plan and copy them into a folder for each section,"
          + " numbered in the order of the day.",
      "Nothing is written where something is wrong, unless --with-findings says so. Pictures are"
          + " copied byte for byte, never encoded again. GPS, serial numbers and maker's notes are"
          + " left out unless --no-private says otherwise. A gallery that is there already is"
          + " brought up to date; files in it that samelight didn't make stay."
    },
    footerHeading = "%nExample:%n",
    footer = {
      "  samelight deliver 2026-06-13-garden --from exports --to gallery --min-edge 4000",
      "  samelight deliver 2026-06-13-garden --from exports --to first-look --early 40"
    })
final class DeliverCommand extends ShootCommand {
  private static final int MOST_SHOWN = 20;

  @Parameters(paramLabel = "SHOOT", description = "A shoot that has been grouped.")
  @Nullable Path shoot;

  @Option(
      names = "--from",
      paramLabel = "EXPORTS",
      required = true,
      description = "The folder with the JPEGs as your raw editor exported them; only read.")
  @Nullable Path from;

  @Option(
      names = "--to",
      paramLabel = "DIR",
      required = true,
      description = "The gallery's folder: new, empty, or one that was delivered before.")
  @Nullable Path to;

  @Option(
      names = "--with-findings",
      description = "Deliver what can be delivered in spite of findings.")
  boolean withFindings;

  @Option(
      names = "--private",
      negatable = true,
      defaultValue = "true",
      fallbackValue = "true",
      description =
          "Keep only dates (by the corrected clock), author, copyright and colour profile"
              + " (default); --no-private copies all metadata.")
  boolean strip = true;

  @Option(
      names = "--copyright",
      paramLabel = "TEXT",
      defaultValue = "",
      description = "Copyright to write (Exif and dc:rights); else what the exports say.")
  String copyright = "";

  @Option(
      names = "--embed-srgb",
      description = "Give exports without a colour profile sRGB's. Only where they are sRGB.")
  boolean embedSrgb;

  @Option(
      names = "--min-edge",
      paramLabel = "PIXELS",
      defaultValue = "0",
      description = "The longer edge must have so many pixels.")
  int minEdge;

  @Option(
      names = "--min-quality",
      paramLabel = "Q",
      defaultValue = "0",
      description = "JPEGs must have this quality, 1 to 100, as their tables tell it.")
  int minQuality;

  @Option(
      names = "--early",
      paramLabel = "N",
      description = "Deliver a first small set of N frames: the highest rated, of all sections.")
  @Nullable Integer early;

  @Option(
      names = "--order",
      paramLabel = "FILE",
      description =
          "A text file that names frames, a line each: within their section they exchange places,"
              + " in this order.")
  @Nullable Path order;

  @Option(
      names = "--opening",
      paramLabel = "FRAME",
      description = "This frame opens its section on the page. May be given again.")
  List<String> openings = new ArrayList<>();

  @Option(
      names = "--page",
      negatable = true,
      defaultValue = "true",
      fallbackValue = "true",
      description =
          "Make index.html to look through and a contact sheet to print (default); --no-page makes"
              + " neither.")
  boolean page = true;

  @Option(
      names = "--web",
      paramLabel = "PIXELS",
      defaultValue = "0",
      description = "Make sizes for the web too, with so many pixels on the longer edge.")
  int web;

  @Override
  Answer answer() {
    Integer number = early;
    if (number != null && number < 1) {
      throw usage("--early must be 1 or more, was " + number);
    }
    try (ShootWork work = ShootWork.open(Objects.requireNonNull(shoot))) {
      work.recovered().forEach(this::note);
      Plan plan = PlanFile.read(work.paths());
      ShootReading reading = FrameStore.load(work.paths(), false);
      ShootWork.refuseStrangers(plan, reading.frames(), work.paths());
      List<Frame> frames = SidecarReader.mark(work.paths().root(), reading.frames()).frames();
      List<TimedFrame> day =
          Timeline.of(frames, BodyClocks.offsets(plan.bodies()), new ArrayList<>());
      DeliverRequest request =
          new DeliverRequest(
              work.paths().root(),
              plan,
              day,
              Objects.requireNonNull(from),
              Objects.requireNonNull(to),
              options(new FrameNames(work.paths().root(), frames)));
      DeliverResult result;
      try (ProgressLine line = new ProgressLine(terminal(), "export")) {
        result =
            Deliver.run(
                request,
                line::at,
                (done, total) -> line.at("picture", done, total),
                (done, total) ->
                    line.at("The gallery stands; small picture for its page", done, total));
      }
      ExitStatus status =
          result.delivery() != null && result.findings().isEmpty()
              ? ExitStatus.DONE
              : ExitStatus.ATTENTION;
      return new Answer(status, lines(result), json(result));
    }
  }

  private DeliverRequest.Options options(FrameNames names) {
    Path list = order;
    Set<String> open = new LinkedHashSet<>();
    for (String name : openings) {
      open.add(
          names
              .find(name)
              .orElseThrow(() -> usage("--opening must name one frame, was \"" + name + "\"")));
    }
    try {
      return new DeliverRequest.Options(
          withFindings,
          strip,
          copyright.strip(),
          embedSrgb,
          minEdge,
          minQuality,
          early == null ? 0 : early,
          list == null ? List.of() : names.list(list),
          open,
          page,
          web);
    } catch (IllegalArgumentException e) {
      throw usage(String.valueOf(e.getMessage()));
    }
  }

  private List<String> lines(DeliverResult result) {
    List<String> lines = new ArrayList<>();
    Delivery delivery = result.delivery();
    findings(result, lines);
    if (delivery == null) {
      lines.add(
          result.findings().isEmpty()
              ? "Nothing was written: there is nothing to deliver. "
                  + Wording.count(result.exports(), "export")
                  + ", "
                  + Wording.count(result.kept(), "frame")
                  + " kept."
              : "Nothing was written. Mend these and run the command again, or deliver what can be"
                  + " with --with-findings.");
      result.notes().forEach(n -> lines.add("Note: " + n + "."));
      return lines;
    }
    long frames = delivery.files().stream().map(DeliveredFile::frame).distinct().count();
    lines.add(
        Wording.count(delivery.files().size(), "picture")
            + " of "
            + Wording.count((int) frames, "frame")
            + " in "
            + delivery.to()
            + ":");
    result.sections().forEach((folder, n) -> lines.add("  " + folder + ": " + n));
    lines.add(
        result.copied()
            + " copied now, "
            + result.reused()
            + " were there; "
            + result.gone()
            + " of an earlier delivery are gone. Each was read back, and its coded picture is the"
            + " export's, byte for byte.");
    lines.add(
        strip
            ? "Private: GPS, serial numbers, maker's notes and all other metadata but dates, author,"
                + " copyright and colour profile were left out (--no-private keeps them)."
            : "Not private: all metadata of the exports went along, GPS and serial numbers too.");
    result.notes().forEach(n -> lines.add("Note: " + n + "."));
    lines.add(
        "Look through it before you send it"
            + (page ? ": index.html there, or contact-sheet.pdf to print" : "")
            + ". Your client's pictures and names are private; keep the cards and all copies until"
            + " the client has confirmed the gallery.");
    return lines;
  }

  private static void findings(DeliverResult result, List<String> lines) {
    Map<DeliveryFinding.Kind, List<DeliveryFinding>> kinds = new LinkedHashMap<>();
    result.findings().forEach(f -> kinds.computeIfAbsent(f.kind(), k -> new ArrayList<>()).add(f));
    kinds.forEach(
        (kind, own) -> {
          lines.add(heading(kind) + ": " + own.size());
          for (DeliveryFinding f : own.subList(0, Math.min(MOST_SHOWN, own.size()))) {
            lines.add("  " + f.file() + " " + f.what() + ". " + f.next() + ".");
          }
          if (own.size() > MOST_SHOWN) {
            lines.add("  and " + (own.size() - MOST_SHOWN) + " more; --json lists them all");
          }
        });
  }

  private static String heading(DeliveryFinding.Kind kind) {
    return switch (kind) {
      case MISSING -> "Frames without an export";
      case NO_FRAME -> "Exports without a frame";
      case NOT_KEPT -> "Exports of frames that aren't kept";
      case DOUBLED -> "Exported twice";
      case DOUBTFUL -> "Exports whose name and time don't agree";
      case DAMAGED -> "Damaged exports";
      case NO_PROFILE -> "Exports without a colour profile";
      case OTHER_PROFILE -> "Exports that aren't sRGB";
      case SMALL -> "Exports with too few pixels";
      case LOW_QUALITY -> "Exports of low quality";
      case TURNED -> "Exports that lie on their side";
    };
  }

  private Map<String, @Nullable Object> json(DeliverResult result) {
    Delivery delivery = result.delivery();
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("written", delivery != null);
    json.put("exports", result.exports());
    json.put("kept", result.kept());
    json.put("copied", result.copied());
    json.put("reused", result.reused());
    json.put("gone", result.gone());
    json.put("private", strip);
    json.put("to", delivery == null ? null : delivery.to());
    json.put("kind", delivery == null ? null : delivery.kind().name().toLowerCase(Locale.ROOT));
    json.put("sections", result.sections());
    List<Map<String, @Nullable Object>> files = new ArrayList<>();
    if (delivery != null) {
      for (DeliveredFile f : delivery.files()) {
        Map<String, @Nullable Object> file = new LinkedHashMap<>();
        file.put("frame", f.frame());
        file.put("export", f.export());
        file.put("name", f.name());
        file.put("sha256", f.sha256());
        files.add(file);
      }
    }
    json.put("files", files);
    List<Map<String, @Nullable Object>> findings = new ArrayList<>();
    for (DeliveryFinding f : result.findings()) {
      Map<String, @Nullable Object> finding = new LinkedHashMap<>();
      finding.put("kind", samelight.engine.store.JsonOut.word(f.kind()));
      finding.put("file", f.file());
      finding.put("what", f.what());
      finding.put("next", f.next());
      findings.add(finding);
    }
    json.put("findings", findings);
    json.put("notes", result.notes());
    return json;
  }
}
