package samelight.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SortedMap;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.account.FolderAccount;
import samelight.engine.account.Line;
import samelight.engine.account.SectionCount;
import samelight.engine.copies.CardBook;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.ListedFile;
import samelight.engine.metadata.ShootReading;
import samelight.engine.pace.PaceFile;
import samelight.engine.pace.Task;
import samelight.engine.report.Wording;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PlanFile;

/** Tells where a job stands. */
@Command(
    name = "status",
    description = {
      "Tell where a shoot stands, on one screen: frames read, kept, grouped, carried, needing eyes,"
          + " exported, delivered, for each section; what to do next; days to the due date.",
      "Every file is counted once, from a look at the folders as they are now. Writes nothing."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight status 2026-06-13-garden --from exports")
final class StatusCommand extends ShootCommand {
  private static final int NAMED = 3;
  private static final int WIDEST_NAME = 28;

  @Parameters(paramLabel = "SHOOT", description = "A shoot, grouped or not.")
  @Nullable Path shoot;

  @Option(
      names = "--from",
      paramLabel = "EXPORTS",
      description = "The folder of exported JPEGs; at first that of the last delivery.")
  @Nullable Path from;

  /** All that was found. */
  record Found(
      ShootPaths paths,
      @Nullable ShootView view,
      @Nullable ShootReading reading,
      FolderAccount account,
      JobBooks books,
      List<SectionCount> sections,
      @Nullable LocalDate due,
      boolean paced) {}

  @Override
  Answer answer() throws IOException {
    Found found = look(ShootPaths.of(Objects.requireNonNull(shoot)));
    List<String> attention = attention(found);
    NextStep next = NextStep.of(found, Objects.requireNonNull(shoot));
    List<String> lines = new ArrayList<>();
    head(found, lines);
    if (found.view() != null) {
      lines.add("");
      table(found.sections(), lines);
    }
    lines.add("");
    account(found.account(), lines);
    if (!attention.isEmpty()) {
      lines.add("");
      attention.forEach(a -> lines.add("Attention: " + a));
    }
    lines.add("");
    lines.add("Next: " + next.words() + (next.command().isEmpty() ? "" : ":"));
    if (!next.command().isEmpty()) {
      lines.add("  " + next.command());
    }
    return new Answer(
        attention.isEmpty() ? ExitStatus.DONE : ExitStatus.ATTENTION,
        lines,
        json(found, attention, next));
  }

  private Found look(ShootPaths paths) throws IOException {
    SortedMap<String, ListedFile> files = ListedFile.of(paths.root());
    ShootView view = PlanFile.exists(paths) ? ShootView.of(paths, false) : null;
    ShootReading reading =
        view != null
            ? view.reading()
            : FrameStore.exists(paths) ? FrameStore.load(paths, false) : null;
    JobBooks books = JobBooks.of(paths, reading == null ? List.of() : reading.frames(), from);
    Set<String> exported = books.exported();
    Set<String> delivered = books.delivered();
    FolderAccount account =
        FolderAccount.of(
            files,
            reading,
            view == null ? null : view.standing(),
            CardBook.of(paths),
            exported,
            delivered);
    PaceFile.Content pace = PaceFile.exists(paths) ? PaceFile.read(paths) : null;
    Set<String> looked = new HashSet<>();
    if (pace != null) {
      pace.done().stream()
          .flatMap(d -> d.items().stream())
          .filter(i -> i.task() == Task.EYES)
          .forEach(i -> looked.addAll(i.frames()));
    }
    List<SectionCount> sections =
        view == null
            ? List.of()
            : SectionCount.of(
                view.plan(), view.standing(), files.keySet(), looked, exported, delivered);
    LocalDate shootDay = view == null ? null : DueDate.shootDay(view.plan());
    LocalDate due = pace == null ? null : pace.due();
    if (due == null && shootDay != null) {
      due = shootDay.plusDays(DueDate.DAYS);
    }
    return new Found(paths, view, reading, account, books, sections, due, pace != null);
  }

  private static LocalDate today() {
    return LocalDate.now(ZoneId.systemDefault());
  }

  private static void head(Found found, List<String> lines) {
    LocalDate due = found.due();
    lines.add(
        found.paths().name()
            + ": "
            + Wording.count(found.account().here(), "file")
            + (due == null ? "" : ", due " + Spans.day(due) + ", " + DueDate.away(today(), due)));
  }

  private static void table(List<SectionCount> sections, List<String> lines) {
    int width = 8;
    for (SectionCount s : sections) {
      width = Math.max(width, Math.min(WIDEST_NAME, s.name().length()));
    }
    lines.add(
        row(
            width,
            "section",
            "frames",
            "kept",
            "grouped",
            "graded",
            "carried",
            "need eyes",
            "exported",
            "delivered"));
    sections.forEach(s -> lines.add(row(s, finalWidth(sections))));
    lines.add(row(SectionCount.total(sections), width));
  }

  private static int finalWidth(List<SectionCount> sections) {
    return sections.stream()
        .mapToInt(s -> Math.min(WIDEST_NAME, s.name().length()))
        .max()
        .orElse(0);
  }

  private static String row(SectionCount s, int width) {
    return row(
        Math.max(8, width),
        s.name(),
        Integer.toString(s.read()),
        Integer.toString(s.kept()),
        Integer.toString(s.grouped()),
        s.graded() + "/" + s.groups(),
        Integer.toString(s.carried()),
        Integer.toString(s.needEyes()),
        Integer.toString(s.exported()),
        Integer.toString(s.delivered()));
  }

  private static String row(int width, String name, String... cells) {
    String shown = name.length() > width ? name.substring(0, width - 1) + "…" : name;
    StringBuilder row = new StringBuilder(String.format(Locale.ROOT, "  %-" + width + "s", shown));
    int[] widths = {7, 6, 8, 9, 8, 10, 9, 10};
    for (int i = 0; i < cells.length; i++) {
      row.append(String.format(Locale.ROOT, "%" + widths[i] + "s", cells[i]));
    }
    return row.toString();
  }

  private static void account(FolderAccount account, List<String> lines) {
    lines.add("Every file in one line:");
    account
        .counts()
        .forEach((line, n) -> lines.add(String.format(Locale.ROOT, "  %,7d  %s", n, line.words())));
    lines.add(
        String.format(
            Locale.ROOT,
            "  %,7d  in all, %,d of them in the folder now",
            account.lines().size(),
            account.here()));
    account
        .cards()
        .forEach(
            (card, n) ->
                lines.add(
                    String.format(
                        Locale.ROOT,
                        "  card %s: %,d of its %,d files are here",
                        card,
                        n.here(),
                        n.files())));
  }

  private static List<String> attention(Found found) {
    List<String> said = new ArrayList<>();
    FolderAccount account = found.account();
    for (Line line : List.of(Line.MISSING, Line.GONE, Line.NOT_READ, Line.UNREADABLE)) {
      List<String> files = account.files(line);
      if (!files.isEmpty()) {
        said.add(files.size() + " " + line.words() + ": " + some(files));
      }
    }
    if (!account.changed().isEmpty()) {
      said.add("changed since they were read or copied: " + some(account.changed()));
    }
    ShootView view = found.view();
    if (view != null && view.history().interrupted()) {
      said.add("a carry was interrupted; the next command that writes sidecars puts it right");
    }
    if (view != null) {
      List<String> unreadable =
          view.history().states().values().stream()
              .filter(s -> s.unreadable())
              .map(s -> s.sidecar())
              .toList();
      if (!unreadable.isEmpty()) {
        said.add("sidecars that can't be understood: " + some(unreadable));
      }
    }
    JobBooks books = found.books();
    if (!books.strangers().isEmpty()) {
      said.add("exports of no frame: " + some(books.strangers()));
    }
    for (JobBooks.Gallery g : books.galleries()) {
      if (!g.there()) {
        said.add(
            "the gallery "
                + g.delivery().to()
                + " is not there now: "
                + Wording.count(g.delivery().files().size(), "delivered picture")
                + " not checked");
      } else if (!g.missing().isEmpty()) {
        said.add("no longer in the gallery " + g.delivery().to() + ": " + some(g.missing()));
      }
    }
    LocalDate due = found.due();
    if (due != null && due.isBefore(today())) {
      SectionCount all = SectionCount.total(found.sections());
      if (all.delivered() < all.kept()) {
        said.add("the due date has passed");
      }
    }
    return said;
  }

  private static String some(List<String> files) {
    String names = String.join(", ", files.subList(0, Math.min(NAMED, files.size())));
    return files.size() > NAMED ? names + " and " + (files.size() - NAMED) + " more" : names;
  }

  private static Map<String, @Nullable Object> json(
      Found found, List<String> attention, NextStep next) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    LocalDate due = found.due();
    json.put("shoot", found.paths().root().toString());
    json.put("due", due == null ? null : due.toString());
    json.put(
        "daysToDue", due == null ? null : java.time.temporal.ChronoUnit.DAYS.between(today(), due));
    json.put("sections", found.sections().stream().map(StatusCommand::json).toList());
    json.put("all", json(SectionCount.total(found.sections())));
    Map<String, @Nullable Object> files = new LinkedHashMap<>();
    files.put("total", found.account().lines().size());
    files.put("here", found.account().here());
    Map<String, @Nullable Object> counts = new LinkedHashMap<>();
    found
        .account()
        .counts()
        .forEach((line, n) -> counts.put(samelight.engine.store.JsonOut.word(line), n));
    files.put("lines", counts);
    Map<String, @Nullable Object> each = new LinkedHashMap<>();
    found
        .account()
        .lines()
        .forEach((file, line) -> each.put(file, samelight.engine.store.JsonOut.word(line)));
    files.put("lineOf", each);
    json.put("files", files);
    Map<String, @Nullable Object> cards = new LinkedHashMap<>();
    found
        .account()
        .cards()
        .forEach((card, n) -> cards.put(card, Map.of("files", n.files(), "here", n.here())));
    json.put("cards", cards);
    json.put("changed", found.account().changed());
    Path exports = found.books().from();
    json.put("exports", exports == null ? null : exports.toString());
    json.put("exportsOfNoFrame", found.books().strangers());
    json.put("attention", attention);
    json.put("next", next.words());
    json.put("nextCommand", next.command().isEmpty() ? null : next.command());
    return json;
  }

  private static Map<String, @Nullable Object> json(SectionCount s) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("id", s.id());
    json.put("name", s.name());
    json.put("frames", s.read());
    json.put("kept", s.kept());
    json.put("grouped", s.grouped());
    json.put("groups", s.groups());
    json.put("graded", s.graded());
    json.put("carried", s.carried());
    json.put("needEyes", s.needEyes());
    json.put("exported", s.exported());
    json.put("delivered", s.delivered());
    return json;
  }
}
