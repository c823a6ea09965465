package samelight.engine.pace;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.DayOfWeek;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.store.JsonIn;
import samelight.engine.store.JsonOut;

/** Reads and writes {@code samelight/pace.json}: what was asked, planned and done. */
public final class PaceFile {
  /** Where it lies, relative to the shoot. */
  public static final String NAME = "samelight/pace.json";

  private static final int VERSION = 1;
  private static final int MOST = 1_000_000;
  private static final int DAY_SECONDS = 24 * 60 * 60;
  private static final String NEXT =
      "Mend that line, or delete the file and run `samelight pace` again: it holds the due date,"
          + " days off and sittings done";

  /**
   * What it holds.
   *
   * @param id of this plan, which its calendar entries hang on
   * @param revision how many times it was planned
   * @param due stated due date, or null
   * @param sitting longest sitting, in whole minutes
   * @param days days on which there may be a sitting
   * @param at when a sitting begins, or null where that isn't stated
   * @param done sittings that were done, as stated
   * @param planned sittings planned last
   * @param listed the highest number that a calendar was ever given
   */
  public record Content(
      UUID id,
      int revision,
      @Nullable LocalDate due,
      Duration sitting,
      Days days,
      @Nullable LocalTime at,
      List<Done> done,
      List<Sitting> planned,
      int listed) {
    /** Copies its lists. */
    public Content {
      done = List.copyOf(done);
      planned = List.copyOf(planned);
    }

    /** Nothing asked yet: sittings of 45 minutes, on every day. */
    public static Content first() {
      return new Content(
          UUID.randomUUID(),
          0,
          null,
          Duration.ofMinutes(45),
          Days.ALL,
          null,
          List.of(),
          List.of(),
          0);
    }
  }

  private PaceFile() {}

  /** Whether the shoot has one. */
  public static boolean exists(ShootPaths shoot) {
    return Files.exists(shoot.resolve(NAME), LinkOption.NOFOLLOW_LINKS);
  }

  /**
   * Reads it.
   *
   * @throws RefusedInputException if it is missing, unreadable or not such a file; the message
   *     names line and field
   */
  public static Content read(ShootPaths shoot) {
    Path file = shoot.resolve(NAME);
    Reading r = new Reading();
    try (JsonIn in = new JsonIn(Files.newInputStream(file), file.toString(), NEXT)) {
      in.document(
          f -> r.field(in, f), "version", "id", "revision", "sittingMinutes", "on", "planned");
      return r.content(in);
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(), "must be readable", DurableFile.reasonOf(e), NEXT, e);
    }
  }

  /**
   * Writes it durably; the caller holds the shoot's lock.
   *
   * @throws samelight.engine.files.CouldNotWriteException if it can't be written; the old one is
   *     then untouched
   */
  public static void write(ShootPaths shoot, Content content) {
    DurableFile.write(
        shoot.resolve(NAME), out -> JsonOut.write(out, json -> document(json, content)));
  }

  private static void document(JsonOut out, Content c) throws IOException {
    out.field("version", VERSION);
    out.field("id", c.id().toString());
    out.field("revision", c.revision());
    LocalDate due = c.due();
    LocalTime at = c.at();
    out.optional("due", due == null ? null : due.toString());
    out.field("sittingMinutes", c.sitting().toMinutes());
    out.optional("at", at == null ? null : at.toString());
    out.strings("on", c.days().on().stream().sorted().map(JsonOut::word).toList());
    out.strings("off", c.days().off().stream().map(LocalDate::toString).toList());
    out.field("listed", c.listed());
    out.array(
        "done",
        () -> {
          for (Done d : c.done()) {
            out.object(() -> sitting(out, d.number(), d.on(), d.items()));
          }
        });
    out.array(
        "planned",
        () -> {
          for (Sitting s : c.planned()) {
            out.object(() -> sitting(out, s.number(), s.on(), s.items()));
          }
        });
  }

  private static void sitting(JsonOut out, int number, LocalDate on, List<Item> items)
      throws IOException {
    out.field("number", number);
    out.field("on", on.toString());
    out.array(
        "items",
        () -> {
          for (Item i : items) {
            out.object(
                () -> {
                  out.field("task", JsonOut.word(i.task()));
                  out.field("section", i.section());
                  out.field("group", i.group());
                  out.field("seconds", Math.max(1, i.time().toSeconds()));
                  out.strings("frames", i.frames());
                });
          }
        });
  }

  /** A file while it is read. */
  private static final class Reading {
    private @Nullable UUID id;
    private int revision;
    private @Nullable LocalDate due;
    private Duration sitting = Duration.ofMinutes(1);
    private final Set<DayOfWeek> on = EnumSet.noneOf(DayOfWeek.class);
    private final TreeSet<LocalDate> off = new TreeSet<>();
    private @Nullable LocalTime at;
    private int listed;
    private final List<Done> done = new ArrayList<>();
    private final List<Sitting> planned = new ArrayList<>();
    private final Set<Integer> numbers = new HashSet<>();

    Content content(JsonIn in) throws IOException {
      Days days = in.checked(() -> new Days(on, off));
      UUID known = Objects.requireNonNull(id);
      return new Content(known, revision, due, sitting, days, at, done, planned, listed);
    }

    boolean field(JsonIn in, String field) throws IOException {
      switch (field) {
        case "version" -> in.whole(1, VERSION);
        case "id" -> id = uuid(in);
        case "revision" -> revision = in.integer(0, MOST);
        case "due" -> due = date(in);
        case "sittingMinutes" -> sitting = Duration.ofMinutes(in.integer(1, DAY_SECONDS / 60));
        case "at" -> at = in.checked(() -> LocalTime.parse(in.string()));
        case "on" -> in.array(() -> on.add(in.oneOf(DayOfWeek.class)));
        case "off" -> in.array(() -> off.add(date(in)));
        case "listed" -> listed = in.integer(0, MOST);
        case "done" -> in.array(() -> sitting(in, true));
        case "planned" -> in.array(() -> sitting(in, false));
        default -> {
          return false;
        }
      }
      return true;
    }

    private static UUID uuid(JsonIn in) throws IOException {
      String text = in.string();
      try {
        UUID uuid = UUID.fromString(text);
        if (uuid.toString().equals(text)) {
          return uuid;
        }
      } catch (IllegalArgumentException e) {
        // said below
      }
      throw in.bad("must be a UUID in lower case (RFC 9562)", '"' + text + '"');
    }

    private static LocalDate date(JsonIn in) throws IOException {
      LocalDate date = in.checked(() -> LocalDate.parse(in.string()));
      if (date.getYear() < 1900 || date.getYear() > 9999) {
        throw in.bad("must be a date of the years 1900 to 9999", date.toString());
      }
      return date;
    }

    private void sitting(JsonIn in, boolean isDone) throws IOException {
      var s =
          new Object() {
            int number;
            LocalDate day = LocalDate.EPOCH;
            final List<Item> items = new ArrayList<>();
          };
      in.object(
          f -> {
            switch (f) {
              case "number" -> s.number = in.integer(1, MOST);
              case "on" -> s.day = date(in);
              case "items" -> in.array(() -> s.items.add(item(in)));
              default -> {
                return false;
              }
            }
            return true;
          },
          "number",
          "on",
          "items");
      if (!numbers.add(s.number)) {
        throw in.bad("each sitting must have a number of its own", s.number + " twice");
      }
      if (isDone) {
        done.add(new Done(s.number, s.day, s.items));
      } else {
        planned.add(in.checked(() -> new Sitting(s.number, s.day, s.items)));
      }
    }

    private static Item item(JsonIn in) throws IOException {
      var i =
          new Object() {
            Task task = Task.LOOK;
            String section = "";
            String group = "";
            int seconds;
            final List<String> frames = new ArrayList<>();
          };
      in.object(
          f -> {
            switch (f) {
              case "task" -> i.task = in.oneOf(Task.class);
              case "section" -> i.section = in.sharedString();
              case "group" -> i.group = in.sharedString();
              case "seconds" -> i.seconds = in.integer(1, MOST * 60);
              case "frames" -> in.array(() -> i.frames.add(in.path()));
              default -> {
                return false;
              }
            }
            return true;
          },
          "task",
          "section",
          "group",
          "seconds",
          "frames");
      Duration time = Duration.ofSeconds(i.seconds);
      return in.checked(() -> new Item(i.task, i.section, i.group, i.frames, time));
    }
  }
}
