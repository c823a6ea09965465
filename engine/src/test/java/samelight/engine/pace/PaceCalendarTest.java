package samelight.engine.pace;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.temporal.Temporal;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import net.fortuna.ical4j.data.CalendarBuilder;
import net.fortuna.ical4j.data.ParserException;
import net.fortuna.ical4j.model.Calendar;
import net.fortuna.ical4j.model.Component;
import net.fortuna.ical4j.model.Property;
import net.fortuna.ical4j.model.component.VEvent;
import net.fortuna.ical4j.validate.ValidationResult;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.RefusedInputException;

/** The calendar as another library, ical4j, reads it. */
class PaceCalendarTest {
  private static final LocalDate DUE = LocalDate.of(2027, 7, 12);
  private static final Instant NOW = Instant.parse("2027-06-14T09:00:00Z");
  private static final String NASTY =
      "Zoë; \"cake\", 中文 👩‍🎤\\n\u0007 BEGIN:VEVENT" + " long".repeat(30);

  @TempDir Path folder;

  private static String text(PaceFile.Content content, String section) {
    return PaceCalendar.text(content, "garden", DUE, Map.of("s1", section), NOW);
  }

  private static Calendar read(String text) throws IOException, ParserException {
    return new CalendarBuilder().build(new StringReader(text));
  }

  private static List<VEvent> events(String text) throws IOException, ParserException {
    return read(text).getComponents(Component.VEVENT);
  }

  private static String value(VEvent event, String property) {
    return event.<Property>getProperty(property).map(Property::getValue).orElse("");
  }

  @Test
  void text_anotherLibrary_readsSittingsAndDueDate() throws Exception {
    List<VEvent> events = events(text(PaceFileTest.content(), "Dressing room"));

    VEvent sitting = events.get(0);
    assertThat(value(sitting, Property.SUMMARY)).isEqualTo("Sitting 4 of 4: Dressing room");
    Temporal start = sitting.getDateTimeStart().getDate();
    assertThat(start).isEqualTo(LocalDateTime.of(2027, 6, 20, 20, 15));
    assertThat(value(sitting, Property.DURATION)).isEqualTo("PT1M");
    assertThat(value(sitting, Property.SEQUENCE)).isEqualTo("3");
    assertThat(value(sitting, Property.CLASS)).isEqualTo("PRIVATE");
    VEvent due = events.get(events.size() - 1);
    assertThat(value(due, Property.SUMMARY)).isEqualTo("Gallery due: garden");
    Temporal day = due.getDateTimeStart().getDate();
    assertThat(day).isEqualTo(DUE);
  }

  @Test
  void text_sittingsNoLongerPlanned_areCancelledUnderTheirIdentifiers() throws Exception {
    PaceFile.Content content = PaceFileTest.content(); // 1 done, 4 planned, 5 were listed before
    List<VEvent> events = events(text(content, "A"));

    List<String> cancelled =
        events.stream()
            .filter(e -> value(e, Property.STATUS).equals("CANCELLED"))
            .map(e -> value(e, Property.SUMMARY))
            .toList();
    assertThat(cancelled)
        .containsExactly(
            "No longer needed: sitting 2",
            "No longer needed: sitting 3",
            "No longer needed: sitting 5");
    Set<String> ids = new HashSet<>();
    events.forEach(e -> assertThat(ids.add(value(e, Property.UID))).isTrue());
    assertThat(value(events(text(content, "B")).get(0), Property.UID))
        .as("the same sitting planned again")
        .isEqualTo(value(events.get(0), Property.UID));
  }

  /** RFC 5545, 3.1: lines of at most 75 octets, ended by CRLF; 3.6: what must be there. */
  @Test
  void text_hostileNames_isStillAValidCalendar() throws Exception {
    String text = text(PaceFileTest.content(), NASTY);

    for (String line : text.split("\r\n", -1)) {
      assertThat(line.getBytes(StandardCharsets.UTF_8).length).isLessThanOrEqualTo(75);
      assertThat(line).doesNotContain("\n").doesNotContain("\r").doesNotContain("\u0007");
    }
    Calendar calendar = read(text);
    ValidationResult result = calendar.validate();
    assertThat(result.hasErrors()).as(result.toString()).isFalse();
    assertThat(calendar.<VEvent>getComponents(Component.VEVENT)).hasSize(5);
    assertThat(value(calendar.<VEvent>getComponents(Component.VEVENT).get(0), Property.SUMMARY))
        .contains("Zoë; \"cake\", 中文 👩‍🎤\\n  BEGIN:VEVENT");
  }

  @Test
  void write_again_replacesItsOwn() throws IOException {
    Path file = folder.resolve("sittings.ics");
    UUID id = PaceFileTest.content().id();
    PaceCalendar.write(file, text(PaceFileTest.content(), "A"), id);
    PaceCalendar.write(file, text(PaceFileTest.content(), "B"), id);

    assertThat(Files.readString(file)).contains("4: B");
  }

  @Test
  void write_foreignFile_isRefusedAndUntouched() throws IOException {
    Path notes = Files.writeString(folder.resolve("notes.txt"), "mine");
    Path other = folder.resolve("other.ics");
    PaceFile.Content content = PaceFileTest.content();
    PaceCalendar.write(other, text(content, "A"), content.id());
    String before = Files.readString(other);
    Path foreign =
        Files.writeString(folder.resolve("x.ics"), "BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n");
    UUID mine = UUID.fromString("00000000-0000-4000-8000-000000000000");

    for (Path file : List.of(notes, other, foreign, folder)) {
      assertThatThrownBy(() -> PaceCalendar.write(file, "x", mine))
          .isInstanceOf(RefusedInputException.class)
          .hasMessageContaining(file.toString());
    }
    assertThat(notes).hasContent("mine");
    assertThat(Files.readString(other)).isEqualTo(before);
  }
}
