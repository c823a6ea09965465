package samelight.cli;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import samelight.cli.ReviewDesk.Conflict;
import samelight.cli.ReviewServer.Bytes;
import samelight.cli.ReviewServer.Reply;
import samelight.engine.files.ShootException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.SmallImage;
import samelight.engine.match.Grade;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.report.HtmlReport;
import samelight.engine.report.PageBuilder;
import samelight.engine.report.Pictures;
import samelight.engine.report.Proofs;
import samelight.engine.report.ReportPage;
import samelight.engine.report.ReportPage.Picture;
import samelight.engine.report.ShootSummary.FrameLine;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.SectionLine;
import samelight.engine.report.TimeLine;
import samelight.engine.review.Change;
import samelight.engine.review.ChangeRefusedException;
import samelight.engine.store.Plan;

/** What the review page is made of, and what it can ask for. */
final class ReviewPages {
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final int LARGE = 512;
  private static final double MOST_STOPS = 10;
  private static final String HTML = "text/html; charset=utf-8";

  /** How often a decision is rehearsed. */
  private static final int REHEARSALS = 16;

  private final String title;
  private final CompletableFuture<ReviewDesk> opening;
  private final String token;
  private final @Nullable Bytes first;
  private final CountDownLatch looked = new CountDownLatch(1);
  private @Nullable Made made;

  /** Parts of the page as it was shown last, its groups' keys, and of what plan they were made. */
  private record Parts(Plan of, Set<String> keys, Map<String, String> html) {}

  private volatile @Nullable Parts parts;

  /** The page that was sent last. */
  private volatile @Nullable Bytes sent;

  /** Whether what was sent has been compared with what is shown since. */
  private volatile boolean checked;

  /** Whether the page that was sent isn't what is shown: its sidecars were changed, say. */
  private volatile boolean stale;

  /** The page as it was last made, and of what. */
  private record Made(ReviewDesk.Shown of, Reply page, Bytes plain, List<TimeLine.Mark> marks) {}

  /**
   * Pages of one shoot.
   *
   * @param title its name
   * @param opening the shoot, which may be being opened: all but the first page waits for it
   * @param first the page until it is open, or null to wait
   */
  ReviewPages(
      String title, CompletableFuture<ReviewDesk> opening, String token, @Nullable Bytes first) {
    this.title = title;
    this.opening = opening;
    this.token = token;
    this.first = first;
  }

  private ReviewDesk desk() {
    try {
      return opening.join();
    } catch (CompletionException | CancellationException e) {
      Throwable cause = e.getCause() == null ? e : e.getCause();
      throw new NotOpenException(String.valueOf(cause.getMessage()));
    }
  }

  /** The shoot could not be opened. */
  private static final class NotOpenException extends RuntimeException {
    private static final long serialVersionUID = 1;

    NotOpenException(String message) {
      super(message);
    }
  }

  /** Waits until the page's script has asked for something, but no longer than this. */
  void awaitLook(Duration most) throws InterruptedException {
    var unused = looked.await(most.toMillis(), TimeUnit.MILLISECONDS); // both are fine
  }

  /** Compares what was sent with what is shown, then rehearses decisions. */
  private void ready(ReviewDesk desk) {
    Bytes last = sent;
    ReviewDesk.Shown shown = desk.shown();
    stale = last != null && !last.same(plain(title, shown));
    checked = true;
    for (int i = 0; i < REHEARSALS; i++) {
      ReviewDesk.Shown rehearsed = desk.rehearsed(i);
      if (rehearsed != null) {
        Reply.json(200, changes(shown, rehearsed));
      }
    }
    parts = parts(desk.shown());
  }

  /** A request that can't be understood. */
  private static final class BadRequest extends RuntimeException {
    private static final long serialVersionUID = 1;

    BadRequest(String message) {
      super(message);
    }
  }

  Reply get(String path) {
    String[] parts = path.split("/", -1);
    try {
      switch (parts[1]) {
        case "" -> {
          return page();
        }
        case "page.css" -> {
          return Shared.STYLE;
        }
        case "review.js" -> {
          return Shared.SCRIPT;
        }
        case "state" -> {
          return Reply.json(200, state());
        }
        case "marks" -> {
          return marks();
        }
        case "group" -> {
          return parts.length == 3 ? group(parts[2]) : nothing();
        }
        case "picture" -> {
          return parts.length >= 5 ? picture(parts[2], parts[3], parts[4]) : nothing();
        }
        default -> {
          return nothing();
        }
      }
    } catch (BadRequest e) {
      return Reply.text(400, String.valueOf(e.getMessage()));
    } catch (NotOpenException e) {
      return Reply.text(503, String.valueOf(e.getMessage()));
    }
  }

  private Reply page() {
    Bytes kept = first;
    if (kept != null && !opening.isDone()) {
      sent = kept;
      return new Reply(200, HTML, kept);
    }
    Made now = made();
    sent = now.plain();
    stale = false;
    return now.page();
  }

  private static Reply nothing() {
    return Reply.text(404, "No such thing.");
  }

  /** What all pages share, read once. */
  private static final class Shared {
    static final Reply STYLE = Reply.of(200, "text/css; charset=utf-8", PageBuilder.style());
    static final Reply SCRIPT = Reply.of(200, "text/javascript; charset=utf-8", script());

    private static String script() {
      try (InputStream in = ReviewPages.class.getResourceAsStream("review.js")) {
        return new String(
            java.util.Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  /** The page of what is shown; two who ask at once wait for one to be made. */
  @SuppressWarnings("ReferenceEquality") // what is shown never changes: another is a new object
  private synchronized Made made() {
    ReviewDesk.Shown shown = desk().shown();
    Made last = made;
    if (last == null || last.of() != shown) {
      last = made(shown);
      made = last;
    }
    return last;
  }

  private Made made(ReviewDesk.Shown shown) {
    ReportPage page = page(title, shown);
    Bytes bytes = bytes(page);
    return new Made(
        shown,
        new Reply(200, HTML, bytes),
        shown.ready() ? plain(title, shown) : bytes,
        page.day().marks());
  }

  private static ReportPage page(String title, ReviewDesk.Shown shown) {
    return builder(shown, false).page(title, Map.of(), true);
  }

  private static Bytes bytes(ReportPage page) {
    ByteArrayOutputStream out = new ByteArrayOutputStream(1 << 20);
    try {
      HtmlReport.render(page, out);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return new Bytes(out.toByteArray());
  }

  /** The page as it is before decisions can be made. */
  private static Bytes plain(String title, ReviewDesk.Shown shown) {
    return bytes(page(title, shown.unready()));
  }

  /** The page with which the review of a shoot may begin that was grouped just now. */
  static byte[] first(ShootWork.Grouped grouped, ShootPaths paths) {
    return plain(paths.name(), ReviewDesk.shown("", grouped, paths)).get();
  }

  /** Where the frames' marks stand in the day's line, and what they say. */
  private Reply marks() {
    List<List<Object>> rows = new ArrayList<>();
    for (TimeLine.Mark m : made().marks()) {
      int id = Integer.parseInt(m.anchor().substring(1));
      rows.add(List.of(id, m.x(), m.y(), m.shape(), m.eyes(), m.says()));
    }
    return Reply.json(200, Map.of("marks", rows));
  }

  private static PageBuilder builder(ReviewDesk.Shown shown, boolean spread) {
    return new PageBuilder(
        shown.summary(),
        shown.ids(),
        shown.plan().decisions().grades(),
        new Addresses(shown),
        spread && shown.ready() ? shown.proofs() : null);
  }

  /** Pictures by the number of their frame; a grade makes another address. */
  private record Addresses(ReviewDesk.Shown shown) implements Pictures {
    @Override
    public @Nullable Picture shot(String file, boolean large) {
      return address(file, large, "shot");
    }

    @Override
    public @Nullable Picture matched(String file, boolean large) {
      return shown.ready() && shown.proofs().changes(file)
          ? address(file, large, "matched/" + Integer.toHexString(recipe(file)))
          : null;
    }

    private int recipe(String file) {
      var match = shown.plan().matches().get(file);
      return match == null
          ? 0
          : 31 * match.stops().hashCode()
              + 17 * match.mired().hashCode()
              + match.reference().hashCode()
              + java.util.Objects.hashCode(
                  shown.plan().decisions().grades().get(match.reference()));
    }

    private @Nullable Picture address(String file, boolean large, String how) {
      SmallImage small = shown.proofs().shot(file);
      Integer id = shown.ids().get(file);
      if (small == null || id == null) {
        return null;
      }
      boolean turned = shown.proofs().orientation(file) >= 5;
      int scale = large ? Math.max(1, 480 / small.width()) : 1;
      int width = (turned ? small.height() : small.width()) * scale;
      int height = (turned ? small.width() : small.height()) * scale;
      String size = large ? "large" : "small";
      return new Picture("/picture/" + id + "/" + size + "/" + how, width, height);
    }
  }

  private Reply picture(String number, String size, String how) {
    ReviewDesk.Shown shown = desk().shown();
    Proofs proofs = shown.proofs();
    byte[] jpeg =
        proofs.jpeg(file(shown, number), size.equals("large") ? LARGE : 0, how.equals("matched"));
    return jpeg == null ? nothing() : new Reply(200, "image/jpeg", new Bytes(jpeg));
  }

  private static String file(ReviewDesk.Shown shown, String number) {
    try {
      return shown.files().get(Integer.parseInt(number));
    } catch (NumberFormatException | IndexOutOfBoundsException e) {
      throw new BadRequest("no frame of this number");
    }
  }

  /** The group that a frame is in. */
  private Reply group(String number) {
    ReviewDesk.Shown shown = desk().shown();
    String file = file(shown, number);
    for (SectionLine section : shown.summary().sections()) {
      for (GroupLine g : section.groups()) {
        if (g.frames().stream().anyMatch(f -> f.file().equals(file))) {
          return Reply.of(200, HTML, HtmlReport.render(builder(shown, true).lot(g, g.frames())));
        }
      }
    }
    return nothing();
  }

  /** Makes the page, so that the first one who asks finds it. */
  void warm() {
    boolean shared = Shared.STYLE.status() == Shared.SCRIPT.status();
    try {
      if (shared && first == null) {
        made();
      }
    } catch (NotOpenException e) {
      // whoever opens the shoot says so
    }
  }

  private Map<String, @Nullable Object> state() {
    looked.countDown();
    ReviewDesk desk = desk();
    desk.begin(() -> ready(desk));
    ReviewDesk.Shown shown = desk.shown();
    if (!shown.ready()) {
      checked = false;
    }
    Map<String, @Nullable Object> state = new LinkedHashMap<>();
    state.put("version", shown.version());
    state.put("token", token);
    state.put("ready", shown.ready() && checked);
    state.put("stale", stale);
    state.put("problem", desk.problem());
    state.put("canUndo", desk.canUndo());
    state.put("canRedo", desk.canRedo());
    return state;
  }

  Reply post(String path, byte[] body) {
    try {
      ReviewDesk desk = desk();
      JsonNode in = JSON.readTree(body);
      if (in == null || !in.isObject()) {
        throw new BadRequest("a JSON object is needed");
      }
      String version = in.path("version").asText();
      ReviewDesk.Shown before = desk.shown();
      List<String> told = new ArrayList<>();
      Map<String, @Nullable Object> changes = new LinkedHashMap<>();
      Consumer<ReviewDesk.Shown> meanwhile = now -> changes.putAll(changes(before, now));
      switch (path) {
        case "/decide" -> told.addAll(desk.decide(version, change(before, in), meanwhile));
        case "/undo" -> desk.undo(version, meanwhile);
        case "/redo" -> desk.redo(version, meanwhile);
        case "/planned" -> {
          return Reply.json(
              200, Map.of("lines", ReviewDesk.words(desk.planned(version)), "version", version));
        }
        case "/carry" -> {
          return said(ReviewDesk.words(desk.carry(version)));
        }
        case "/revert" -> {
          var result = desk.revert(version);
          return said(
              result.carries().isEmpty()
                  ? "Nothing to revert."
                  : "Reverted: " + String.join(", ", result.carries()) + ".");
        }
        default -> {
          return nothing();
        }
      }
      changes.putAll(state());
      changes.put("told", String.join("; ", told));
      return Reply.json(200, changes);
    } catch (Conflict e) {
      Map<String, @Nullable Object> conflict = state();
      conflict.put("told", String.valueOf(e.getMessage()));
      return Reply.json(409, conflict);
    } catch (ChangeRefusedException e) {
      return Reply.json(422, Map.of("told", "Nothing was changed: " + e.getMessage() + "."));
    } catch (ShootException e) {
      return Reply.json(409, Map.of("told", String.valueOf(e.getMessage())));
    } catch (BadRequest e) {
      return Reply.text(400, String.valueOf(e.getMessage()));
    } catch (NotOpenException e) {
      return Reply.text(503, String.valueOf(e.getMessage()));
    } catch (IOException e) {
      return Reply.text(400, "not JSON");
    }
  }

  private Reply said(String what) {
    Map<String, @Nullable Object> state = state();
    state.put("told", what);
    return Reply.json(200, state);
  }

  private static Change change(ReviewDesk.Shown shown, JsonNode in) {
    List<String> frames = new ArrayList<>();
    for (JsonNode id : in.path("frames")) {
      frames.add(file(shown, id.asText()));
    }
    if (frames.isEmpty()) {
      throw new BadRequest("at least one frame is needed");
    }
    String first = frames.get(0);
    JsonNode to = in.path("to");
    return switch (in.path("kind").asText()) {
      case "reference" -> new Change.Reference(first);
      case "split" -> new Change.Split(first);
      case "join" -> new Change.Join(first, file(shown, to.asText()));
      case "move" -> new Change.Move(frames, file(shown, to.asText()));
      case "own" -> new Change.Move(frames, null);
      case "leaveOut" -> new Change.LeaveOut(frames);
      case "takeIn" -> new Change.TakeIn(frames);
      case "name" -> new Change.NameSection(first, in.path("name").asText());
      case "grade" -> new Change.StateGrade(first, grade(in));
      case "clearGrade" -> new Change.StateGrade(first, null);
      default -> throw new BadRequest("no such decision");
    };
  }

  private static Grade grade(JsonNode in) {
    double ev = in.path("ev").asDouble(Double.NaN);
    if (!(Math.abs(ev) <= MOST_STOPS)) {
      throw new BadRequest("exposure must lie within -10 and +10 EV");
    }
    try {
      return new Grade(
          new Ev(ev),
          in.path("kelvin").isNumber() ? new Kelvin(in.path("kelvin").asDouble()) : null,
          null);
    } catch (IllegalArgumentException e) {
      throw new BadRequest(String.valueOf(e.getMessage()));
    }
  }

  /** What is to be drawn anew on the page: the groups' order, and those that are new. */
  private Map<String, @Nullable Object> changes(ReviewDesk.Shown before, ReviewDesk.Shown now) {
    Parts had = parts(before);
    Set<String> keys = new HashSet<>();
    PageBuilder builder = builder(now, false);
    List<Object> sections = new ArrayList<>();
    Map<String, Object> html = new HashMap<>();
    List<Integer> eyes = new ArrayList<>();
    List<Integer> references = new ArrayList<>();
    ReportPage page = builder.changed();
    int at = 0;
    for (SectionLine section : now.summary().sections()) {
      ReportPage.Chapter chapter = page.chapters().get(at++);
      List<Object> groups = new ArrayList<>();
      for (GroupLine g : section.groups()) {
        String key = builder.key(g);
        groups.add(Map.of("key", key, "id", g.id()));
        keys.add(key);
        if (!had.keys().contains(key)) {
          // the spread of mid-tones, which takes longer, is fetched with the group afterwards
          html.put(key, HtmlReport.render(builder.lot(g, g.frames())));
        }
        references.add(now.ids().getOrDefault(g.reference(), -1));
        for (FrameLine f : g.needEyes()) {
          eyes.add(now.ids().getOrDefault(f.file(), -1));
        }
      }
      sections.add(
          Map.of(
              "anchor", chapter.anchor(),
              "name", chapter.name(),
              "when", chapter.when(),
              "frame", chapter.frame(),
              "groups", groups));
    }
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("lede", page.lede());
    json.put("sections", sections);
    json.put("html", html);
    json.put("eyes", eyes);
    json.put("references", references);
    List<Integer> unmatched = new ArrayList<>();
    now.plan().unmatched().keySet().forEach(f -> unmatched.add(now.ids().getOrDefault(f, -1)));
    json.put("unmatched", unmatched);
    Parts has = new Parts(now.plan(), keys, parts(page));
    has.html()
        .forEach(
            (part, text) -> {
              if (!text.equals(had.html().get(part))) {
                json.put(part, text);
              }
            });
    parts = has;
    return json;
  }

  /** The parts of the page that tell of all groups; they are sent where they have changed. */
  @SuppressWarnings("ReferenceEquality") // a plan never changes: another is a new object
  private Parts parts(ReviewDesk.Shown shown) {
    Parts last = parts;
    if (last != null && last.of() == shown.plan()) {
      return last;
    }
    PageBuilder builder = builder(shown, false);
    Set<String> keys = new HashSet<>();
    shown.summary().sections().forEach(s -> s.groups().forEach(g -> keys.add(builder.key(g))));
    return new Parts(shown.plan(), keys, parts(builder.changed()));
  }

  private static Map<String, String> parts(ReportPage page) {
    Map<String, String> html = new LinkedHashMap<>();
    for (String part : List.of("contents", "bands", "brackets", "numbered", "keepers", "account")) {
      html.put(part, HtmlReport.render(part, page));
    }
    return html;
  }
}
