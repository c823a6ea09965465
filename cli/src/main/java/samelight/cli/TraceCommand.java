package samelight.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.account.FrameStanding;
import samelight.engine.account.FrameTrace;
import samelight.engine.copies.CardBook;
import samelight.engine.delivery.DeliveredFile;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.pace.WorkLeft;
import samelight.engine.report.Wording;
import samelight.engine.sidecar.CarryHistory;
import samelight.engine.store.PlanFile;
import samelight.engine.timeline.TimedFrame;

/** Follows one frame from its card to its delivered name. */
@Command(
    name = "trace",
    description = {
      "Follow one frame: its card, its copies and whether their bytes are right, section, group,"
          + " reference, recipe, export, delivered name. What isn't known is said.",
      "Reads the copies of this one frame wholly, to check them. Writes nothing."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight trace 2026-06-13-garden/tern-8091/IMG_0412.DNG")
final class TraceCommand extends ShootCommand {
  @Parameters(
      paramLabel = "FRAME",
      description = "A frame of a shoot that has been grouped, there or lost.")
  @Nullable Path frame;

  @Option(
      names = "--from",
      paramLabel = "EXPORTS",
      description = "The folder of exported JPEGs; at first that of the last delivery.")
  @Nullable Path from;

  private final List<String> lines = new ArrayList<>();
  private final Map<String, @Nullable Object> json = new LinkedHashMap<>();
  private boolean attention;

  @Override
  Answer answer() {
    lines.clear();
    json.clear();
    Path given = Objects.requireNonNull(frame);
    Place place = place(given);
    ShootView view = ShootView.of(place.paths(), false);
    String file = known(place, view);
    Frame read =
        view.reading().frames().stream()
            .filter(f -> f.file().equals(file))
            .findFirst()
            .orElseThrow();
    json.put("shoot", place.paths().root().toString());
    json.put("frame", file);
    taken(read, view);
    List<CardBook> books = CardBook.of(place.paths());
    copies(file, "copies", place.paths(), books);
    String paired = read.paired();
    json.put("paired", paired);
    if (paired != null) {
      say("with", "its JPEG " + paired);
      copies(paired, "pairedCopies", place.paths(), books);
    }
    plan(file, view);
    recipe(file, view);
    left(file, view, place.paths());
    return new Answer(attention ? ExitStatus.ATTENTION : ExitStatus.DONE, lines, json);
  }

  /** A shoot, and a path in it. */
  private record Place(ShootPaths paths, String file) {}

  /** The shoot around a file, which need not be there any more. */
  private static Place place(Path given) {
    Path absolute = given.toAbsolutePath().normalize();
    Path name = absolute.getFileName();
    Path folder = absolute.getParent();
    while (folder != null && name != null && !Files.isDirectory(folder)) {
      Path last = folder.getFileName();
      name = last == null ? null : last.resolve(name);
      folder = folder.getParent();
    }
    if (folder != null && name != null) {
      Path real;
      try {
        real = folder.toRealPath();
      } catch (IOException e) {
        throw new RefusedInputException(
            given.toString(), "must be a frame", DurableFile.reasonOf(e), "Check the spelling", e);
      }
      Path whole = real.resolve(name);
      for (Path at = real; at != null; at = at.getParent()) {
        if (Files.exists(at.resolve(PlanFile.NAME), LinkOption.NOFOLLOW_LINKS)) {
          ShootPaths paths = ShootPaths.of(at);
          return new Place(paths, paths.relative(whole));
        }
      }
    }
    throw new RefusedInputException(
        given.toString(),
        "must lie in a shoot that has been grouped",
        "no " + PlanFile.NAME + " in its folder or above",
        "Run `samelight group SHOOT` first");
  }

  private static String known(Place place, ShootView view) {
    for (Frame f : view.reading().frames()) {
      if (f.file().equals(place.file()) || place.file().equals(f.paired())) {
        return f.file();
      }
    }
    throw new RefusedInputException(
        place.paths().root().resolve(place.file()).toString(),
        "must be a frame of the shoot " + place.paths().root(),
        "a file that was not there when `samelight group` last ran, or is no frame",
        "Check the name, or run `samelight group` on the shoot again");
  }

  private static String second(java.time.Instant at) {
    return at.truncatedTo(java.time.temporal.ChronoUnit.SECONDS).toString();
  }

  private void say(String what, String words) {
    lines.add(String.format(Locale.ROOT, "%-10s %s", what, words));
  }

  private void taken(Frame read, ShootView view) {
    say("frame", read.file());
    var body = read.body();
    json.put("body", body.id());
    double seconds = Double.NaN;
    for (TimedFrame t : view.standing().day()) {
      seconds = t.frame().file().equals(read.file()) ? t.seconds() : seconds;
    }
    var time = read.time();
    String shootTime =
        time == null || Double.isNaN(seconds)
            ? null
            : java.time.LocalDateTime.ofEpochSecond(
                    (long) Math.floor(seconds), 0, java.time.ZoneOffset.UTC)
                .toString()
                .replace('T', ' ');
    json.put("bodyTime", time == null ? null : time.local().toString());
    json.put("shootTime", shootTime);
    String serial = body.serial();
    say(
        "body",
        body.id()
            + ": "
            + (body.make() + " " + body.model()).strip()
            + (serial == null ? "" : ", serial " + serial));
    say(
        "taken",
        shootTime == null
            ? "no time in the file"
            : shootTime
                + " by the shoot's time, "
                + Objects.requireNonNull(time).local().toLocalTime().withNano(0)
                + " by the body's clock");
  }

  private void copies(String file, String key, ShootPaths paths, List<CardBook> books) {
    FrameTrace trace = FrameTrace.of(paths, file, books);
    CardBook.Copied entry = trace.entry();
    if (entry == null) {
      say(
          "card",
          "not known: no manifest of `samelight secure` has this file"
              + (books.isEmpty() ? "; there is none beside this shoot" : ""));
    } else {
      say("card", entry.card() + ", " + entry.cardPath() + ", copied " + second(entry.copied()));
      say(
          "sha256",
          entry.sha256()
              + (entry.verified() == null
                  ? ", never read back"
                  : ", read back " + second(entry.verified())));
    }
    List<Object> all = new ArrayList<>();
    for (FrameTrace.Copy copy : trace.copies()) {
      attention |= copy.state().attention();
      String hash = copy.sha256();
      say(
          "copy",
          copy.path()
              + ": "
              + copy.state().words()
              + (entry == null && hash != null ? ", sha256 " + hash : ""));
      Map<String, @Nullable Object> one = new LinkedHashMap<>();
      one.put("path", copy.path());
      one.put("state", copy.state().name().toLowerCase(Locale.ROOT));
      one.put("sha256", hash);
      all.add(one);
    }
    Map<String, @Nullable Object> one = new LinkedHashMap<>();
    one.put("card", entry == null ? null : entry.card());
    one.put("cardPath", entry == null ? null : entry.cardPath());
    one.put("sha256", entry == null ? null : entry.sha256());
    one.put("copies", all);
    json.put(key, one);
  }

  private void plan(String file, ShootView view) {
    FrameStanding f = Objects.requireNonNull(view.standing().frames().get(file));
    String section = WorkLeft.names(view.plan()).getOrDefault(f.section(), "none");
    say("section", section);
    json.put("section", f.section());
    json.put("sectionName", section);
    LightingGroup group = view.plan().groupOf().get(file);
    json.put("group", group == null ? null : group.id());
    json.put("reference", group == null ? null : group.reference());
    json.put("kept", f.kept());
    var out = f.out();
    if (group == null) {
      say("group", "none: " + view.plan().unmatched().getOrDefault(file, "not in the plan"));
    } else {
      say("group", group.id() + ", " + Wording.count(group.frames().size(), "frame"));
      say(
          "reference",
          f.reference()
              ? "this frame" + (f.graded() ? ", graded" : ", not graded yet")
              : group.reference());
    }
    say("kept", out == null ? "yes" : "no, " + out.words());
    Match match = view.plan().matches().get(file);
    if (match != null) {
      say("match", Wording.stops(match) + ", " + Wording.mired(match));
    }
    say(
        "eyes",
        f.eyes().isEmpty()
            ? "not needed"
            : String.join("; ", f.eyes()) + (f.touched() ? " (touched by hand since)" : ""));
    json.put("needsEyes", f.eyes());
    json.put("touched", f.touched());
  }

  private void recipe(String file, ShootView view) {
    CarryHistory.State s = Objects.requireNonNull(view.history().states().get(file));
    json.put("sidecar", s.exists() ? s.sidecar() : null);
    json.put("carried", s.carried());
    json.put("carriedAt", s.carriedAt() == null ? null : s.carriedAt().toString());
    json.put("recipe", s.recipe());
    String sidecar = s.exists() ? s.sidecar() : "none";
    say("sidecar", sidecar + (s.unreadable() ? ", CAN'T BE UNDERSTOOD" : ""));
    attention |= s.unreadable();
    if (!s.carried()) {
      boolean edited = Objects.requireNonNull(view.standing().frames().get(file)).edited();
      say("recipe", edited ? "none: you edited this frame before the first carry" : "not carried");
      return;
    }
    String exposure = s.recipe().get("Exposure");
    String kelvin = s.recipe().get("ColourTemperature");
    say(
        "recipe",
        (exposure == null ? "its text is no longer in the sidecar" : "exposure " + exposure + " EV")
            + (kelvin == null ? "" : ", " + kelvin + " K")
            + ", carried "
            + (s.carriedAt() == null
                ? "at a time that isn't known any more"
                : second(s.carriedAt()) + " (carry " + s.journal() + ")")
            + (s.savedSince() ? ", saved by the editor since" : ""));
  }

  private void left(String file, ShootView view, ShootPaths paths) {
    JobBooks books = JobBooks.of(paths, view.reading().frames(), from);
    Path folder = books.from();
    List<String> exports = books.exports().getOrDefault(file, List.of());
    say(
        "export",
        folder == null
            ? "not known: no folder of exports; name it with --from"
            : !books.fromThere()
                ? "not known: " + folder + " is not there now"
                : exports.isEmpty() ? "none in " + folder : String.join(", ", exports));
    json.put("exportsFolder", folder == null ? null : folder.toString());
    json.put("exports", exports);
    List<Object> delivered = new ArrayList<>();
    for (JobBooks.Gallery gallery : books.galleries()) {
      for (DeliveredFile d : gallery.delivery().files()) {
        if (d.frame().equals(file)) {
          delivered.add(delivered(gallery, d));
        }
      }
    }
    if (delivered.isEmpty()) {
      say("delivered", "not delivered");
    }
    json.put("delivered", delivered);
  }

  private Map<String, @Nullable Object> delivered(JobBooks.Gallery gallery, DeliveredFile d) {
    String to = gallery.delivery().to();
    Path folder = JobBooks.path(to);
    String hash =
        !gallery.there() || folder == null ? null : FrameTrace.sha256(folder.resolve(d.name()));
    String state =
        !gallery.there()
            ? "folder not there now, not checked"
            : hash == null
                ? "NO LONGER THERE"
                : hash.equals(d.sha256()) ? "there, bytes as delivered" : "there, OTHER BYTES";
    attention |= gallery.there() && !d.sha256().equals(hash);
    say(
        "delivered",
        d.name() + " in " + to + ", " + second(gallery.delivery().at()) + ": " + state);
    Map<String, @Nullable Object> one = new LinkedHashMap<>();
    one.put("name", d.name());
    one.put("export", d.export());
    one.put("to", to);
    one.put("at", gallery.delivery().at().toString());
    one.put("sha256", d.sha256());
    one.put("state", state);
    return one;
  }
}
