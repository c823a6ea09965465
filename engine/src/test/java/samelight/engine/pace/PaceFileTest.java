package samelight.engine.pace;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DayOfWeek;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.EnumSet;
import java.util.List;
import java.util.TreeSet;
import java.util.UUID;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;

class PaceFileTest {
  @TempDir Path folder;
  private ShootPaths shoot;

  @BeforeEach
  void makeShoot() throws IOException {
    Files.createDirectory(folder.resolve("samelight"));
    shoot = ShootPaths.of(folder);
  }

  static PaceFile.Content content() {
    Item grade = item(Task.REFERENCE, 240, "A/1.DNG");
    Item eyes = item(Task.EYES, 45, "A/2.DNG", "A/3.DNG");
    return new PaceFile.Content(
        UUID.fromString("0b9f3c52-7a11-4c39-9d37-0c1a5d1f2e3a"),
        3,
        LocalDate.of(2027, 7, 12),
        Duration.ofMinutes(50),
        new Days(
            EnumSet.of(DayOfWeek.MONDAY, DayOfWeek.SUNDAY),
            new TreeSet<>(List.of(LocalDate.of(2027, 6, 21)))),
        LocalTime.of(20, 15),
        List.of(new Done(1, LocalDate.of(2027, 6, 14), List.of(grade))),
        List.of(new Sitting(4, LocalDate.of(2027, 6, 20), List.of(eyes))),
        5);
  }

  private static Item item(Task task, int seconds, String... frames) {
    return new Item(task, "s1", "g1", List.of(frames), Duration.ofSeconds(seconds));
  }

  @Test
  void write_thenRead_isTheSame() {
    PaceFile.write(shoot, content());

    assertThat(PaceFile.read(shoot)).isEqualTo(content());
  }

  @Test
  void write_first_canBeRead() {
    PaceFile.Content first = PaceFile.Content.first();
    PaceFile.write(shoot, first);

    assertThat(PaceFile.read(shoot)).isEqualTo(first);
  }

  @ParameterizedTest
  @CsvSource({
    "'\"version\": 1', '\"version\": 2', version, whole number from 1 to 1",
    "'\"sittingMinutes\": 50', '\"sittingMinutes\": 0', sittingMinutes, from 1 to 1440",
    "'2027-07-12', '2027-02-30', due, 2027-02-30",
    "'\"monday\"', '\"holiday\"', on[0], one of monday",
    "'0b9f3c52', 'xyz', id, UUID",
    "'A/2.DNG', '../2.DNG', frames[0], inside the shoot",
    "'\"number\": 4', '\"number\": 1', planned[0], number of its own",
    "'\"task\": \"eyes\"', '\"task\": \"nap\"', task, one of reference",
    "'\"listed\": 5', '\"listed\": 5, \"colour\": 1', colour, no field of this name",
  })
  void read_damaged_namesFileFieldAndRule(String good, String bad, String field, String rule)
      throws IOException {
    PaceFile.write(shoot, content());
    Path file = folder.resolve(PaceFile.NAME);
    String text = Files.readString(file);
    assertThat(text).contains(good);
    Files.writeString(file, text.replace(good, bad));

    assertThatThrownBy(() -> PaceFile.read(shoot))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("pace.json")
        .hasMessageContaining(field)
        .hasMessageContaining(rule);
  }
}
