package samelight.engine.pace;

import biweekly.Biweekly;
import biweekly.ICalVersion;
import biweekly.ICalendar;
import biweekly.component.VEvent;
import biweekly.io.text.ICalWriter;
import biweekly.property.Classification;
import biweekly.property.DateStart;
import biweekly.property.RawProperty;
import biweekly.property.Status;
import biweekly.property.Transparency;
import biweekly.util.DateTimeComponents;
import biweekly.util.Duration;
import biweekly.util.ICalDate;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.Date;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;

/**
 * The sittings as an iCalendar file [RFC5545]: an event for each sitting and one for the due date.
 * Their identifiers stay the same from plan to plan and the sequence number rises, so that a
 * calendar moves what it has instead of doubling it; a sitting that is no longer needed is
 * cancelled. Times are local wherever the calendar is read ("floating"); without a time of day an
 * event is of the whole day and leaves it free.
 */
public final class PaceCalendar {
  private static final String PRODUCT = "-//samelight//pace//EN";
  private static final String MARK = "X-SAMELIGHT-PACE";
  private static final int MOST_OCTETS = 75;
  private static final long LARGEST = 4L << 20;

  private final ICalendar calendar = new ICalendar();
  private final PaceFile.Content content;
  private final Date now;

  private PaceCalendar(PaceFile.Content content, Instant now) {
    this.content = content;
    this.now = Date.from(now);
  }

  /**
   * The text of the file.
   *
   * @param content what was planned
   * @param shoot name of the shoot
   * @param due when the gallery is due
   * @param sections names of sections by their ids
   * @param now the time to stamp it with
   */
  public static String text(
      PaceFile.Content content,
      String shoot,
      LocalDate due,
      Map<String, String> sections,
      Instant now) {
    PaceCalendar pace = new PaceCalendar(content, now);
    pace.calendar.setProductId(PRODUCT);
    pace.calendar.addExperimentalProperty(MARK, content.id().toString());
    Set<Integer> numbers = new HashSet<>();
    content.done().forEach(d -> numbers.add(d.number()));
    int last = 0;
    for (Sitting s : content.planned()) {
      numbers.add(s.number());
      last = Math.max(last, s.number());
    }
    for (Sitting s : content.planned()) {
      pace.sitting(s, last, plain(shoot), sections);
    }
    for (int n = 1; n <= content.listed(); n++) {
      if (!numbers.contains(n)) {
        VEvent gone = pace.event(Integer.toString(n), "No longer needed: sitting " + n);
        pace.wholeDay(gone, due);
        gone.setStatus(Status.cancelled());
      }
    }
    VEvent end = pace.event("due", "Gallery due: " + plain(shoot));
    pace.wholeDay(end, due);
    return folded(written(pace.calendar));
  }

  private static String written(ICalendar calendar) {
    StringWriter text = new StringWriter();
    try (ICalWriter out = new ICalWriter(text, ICalVersion.V2_0)) {
      out.getVObjectWriter().getFoldedLineWriter().setLineLength(null);
      out.write(calendar);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return text.toString();
  }

  /** Lines of at most 75 octets [RFC5545, 3.1]; the library would count characters. */
  private static String folded(String text) {
    StringBuilder folded = new StringBuilder(text.length() + text.length() / 20);
    int octets = 0;
    for (int i = 0; i < text.length(); ) {
      int c = text.codePointAt(i);
      int size = c < 0x80 ? 1 : c < 0x800 ? 2 : c < 0x10000 ? 3 : 4;
      if (c == '\r' || c == '\n') {
        octets = 0;
      } else if (octets + size > MOST_OCTETS) {
        folded.append("\r\n ");
        octets = 1 + size;
      } else {
        octets += size;
      }
      folded.appendCodePoint(c);
      i += Character.charCount(c);
    }
    return folded.toString();
  }

  /**
   * Writes the file durably. One that stands there is written over only if it is this plan's.
   *
   * @param file ends as the photographer wishes; its folder must exist
   * @throws RefusedInputException if something else stands there
   * @throws samelight.engine.files.CouldNotWriteException if it can't be written
   */
  public static void write(Path file, String text, UUID id) {
    refuseForeign(file, id);
    DurableFile.write(file, text.getBytes(StandardCharsets.UTF_8));
  }

  /**
   * Refuses a place where something else than this plan's calendar stands.
   *
   * @throws RefusedInputException if so
   */
  public static void refuseForeign(Path file, UUID id) {
    if (!Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    String actual = foreign(file, id);
    if (actual != null) {
      throw new RefusedInputException(
          file.toString(),
          "must be new, or a calendar of this shoot that `samelight pace` wrote",
          actual,
          "Name another file for --ics");
    }
  }

  private static @Nullable String foreign(Path file, UUID id) {
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      return Files.isDirectory(file) ? "a folder" : "a link, or no regular file";
    }
    try {
      if (Files.size(file) > LARGEST) {
        return "a file of " + Files.size(file) + " bytes";
      }
      String text = Files.readString(file, StandardCharsets.UTF_8);
      ICalendar there = text.startsWith("BEGIN:VCALENDAR") ? Biweekly.parse(text).first() : null;
      RawProperty mark = there == null ? null : there.getExperimentalProperty(MARK);
      if (mark == null) {
        return "another file";
      }
      return id.toString().equals(mark.getValue()) ? null : "the calendar of another shoot";
    } catch (IOException e) {
      return "a file that is no text, or can't be read";
    }
  }

  private void sitting(Sitting s, int last, String shoot, Map<String, String> sections) {
    String where =
        String.join(
            ", ",
            s.items().stream()
                .map(i -> plain(sections.getOrDefault(i.section(), "no section")))
                .distinct()
                .toList());
    VEvent event =
        event(Integer.toString(s.number()), "Sitting " + s.number() + " of " + last + ": " + where);
    event.setDescription(
        shoot + ", " + minutes(s.time()) + " min\n" + plain(WorkWords.of(s.items())));
    LocalTime at = content.at();
    if (at == null) {
      wholeDay(event, s.on());
    } else {
      DateStart start =
          new DateStart(
              new ICalDate(
                  new DateTimeComponents(
                      s.on().getYear(),
                      s.on().getMonthValue(),
                      s.on().getDayOfMonth(),
                      at.getHour(),
                      at.getMinute(),
                      0,
                      false),
                  true));
      event.setDateStart(start);
      event.setDuration(Duration.builder().minutes((int) minutes(s.time())).build());
      calendar.getTimezoneInfo().setFloating(start, true);
    }
  }

  private VEvent event(String what, String summary) {
    VEvent event = new VEvent();
    byte[] name = (content.id() + "/" + what).getBytes(StandardCharsets.UTF_8);
    event.setUid(UUID.nameUUIDFromBytes(name).toString());
    event.setDateTimeStamp(now);
    event.setSequence(content.revision());
    event.setSummary(summary);
    event.setClassification(Classification.private_());
    calendar.addEvent(event);
    return event;
  }

  private void wholeDay(VEvent event, LocalDate day) {
    event.setDateStart(
        new DateStart(
            new ICalDate(
                new DateTimeComponents(day.getYear(), day.getMonthValue(), day.getDayOfMonth()),
                false)));
    event.setTransparency(Transparency.transparent());
  }

  /** Whole minutes, rounded up. */
  private static long minutes(java.time.Duration time) {
    return (time.toSeconds() + 59) / 60;
  }

  /** Text without characters that iCalendar doesn't allow [RFC5545, 3.1]. */
  private static String plain(String text) {
    StringBuilder plain = new StringBuilder();
    text.codePoints()
        .forEach(
            c -> {
              boolean bad =
                  (c != '\n' && Character.isISOControl(c))
                      || c == 0x2028
                      || c == 0x2029
                      || Character.getType(c) == Character.SURROGATE;
              plain.appendCodePoint(bad ? ' ' : c);
            });
    return plain.toString();
  }
}
