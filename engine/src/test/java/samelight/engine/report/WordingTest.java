package samelight.engine.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDateTime;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WordingTest {
  @ParameterizedTest
  @CsvSource(
      nullValues = "-",
      value = {
        "2027-06-12T10:28:46, 2027-06-12T12:22:47, true, 2027-06-12 10:28:46 to 12:22:47",
        "2027-06-12T10:28:46, 2027-06-12T12:22:47, false, 10:28:46 to 12:22:47",
        "2027-06-12T23:59:59, 2027-06-13T00:00:00, false, 23:59:59 to 2027-06-13 00:00:00",
        "2027-06-12T10:28:46.1, 2027-06-12T10:28:46.9, false, 10:28:46",
        "2027-06-12T10:28:46, 2027-06-13T10:28:46, true, 2027-06-12 10:28:46 to 2027-06-13 10:28:46",
        "-, -, true, no time",
      })
  void span_saysNoMoreThanItNeeds(
      LocalDateTime from, LocalDateTime to, boolean withDay, String said) {
    assertThat(Wording.span(from, to, withDay)).isEqualTo(said);
  }

  @ParameterizedTest
  @CsvSource({"0, 0 frames", "1, 1 frame", "4000, '4,000 frames'"})
  void count_agreesInNumber(int n, String said) {
    assertThat(Wording.count(n, "frame")).isEqualTo(said);
  }

  @ParameterizedTest
  @CsvSource({"-0.04, 0.0", "0, 0.0", "0.05, +0.1", "-10, -10.0"})
  void signed_hasNoSignWhereNothingIsLeft(double stops, String said) {
    assertThat(Wording.signed(stops)).isEqualTo(said);
  }

  @ParameterizedTest
  @CsvSource({"1234.6, '1,200'", "39.4, 39", "6.64, 6.6", "0.0152, 0.015"})
  void twoDigits_roundsToThem(double value, String said) {
    assertThat(Wording.twoDigits(value)).isEqualTo(said);
  }
}
