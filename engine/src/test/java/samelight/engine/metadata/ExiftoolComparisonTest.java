package samelight.engine.metadata;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Frame;
import samelight.engine.metadata.ExiftoolComparison.Line;
import samelight.engine.metadata.ExiftoolComparison.Outcome;

/** Held against exiftool where it is installed. */
class ExiftoolComparisonTest {
  @Test
  void samples_noValueIsWrong() throws IOException {
    assumeTrue(ExiftoolComparison.installed(), "exiftool is not installed");
    assertThat(ExiftoolComparison.run(Samples.folder()))
        .filteredOn(l -> l.outcome() == Outcome.WRONG)
        .isEmpty();
  }

  /** Raws of which no whole file is free: both read the built ones alike. */
  @Test
  void builtRaws_areReadAlike(@TempDir Path folder) throws IOException {
    assumeTrue(ExiftoolComparison.installed(), "exiftool is not installed");
    for (Map.Entry<String, byte[]> e : RawFiles.examples().entrySet()) {
      Files.write(folder.resolve(e.getKey()), e.getValue());
    }
    List<Line> lines = ExiftoolComparison.run(folder);
    assertThat(lines)
        .filteredOn(l -> l.outcome() == Outcome.WRONG || l.outcome() == Outcome.MISSING)
        .isEmpty();
    for (String field : List.of("serial", "neutralRed", "neutralBlue")) {
      assertThat(lines)
          .filteredOn(l -> l.field().equals(field) && l.outcome() == Outcome.SAME)
          .as(field)
          .extracting(Line::file)
          .containsExactlyInAnyOrderElementsOf(RawFiles.examples().keySet());
    }
  }

  /** The bytes that exiftool takes for the preview are those that lie where ours does. */
  @ParameterizedTest
  @ValueSource(strings = {"olympus.ORF", "om.ORF", "olymp.ORF", "aoc.PEF", "pentax.PEF"})
  void builtRaws_havePreviewsAtOnePlace(String name, @TempDir Path folder) throws IOException {
    assumeTrue(ExiftoolComparison.installed(), "exiftool is not installed");
    Path file = folder.resolve(name);
    Files.write(file, requireNonNull(RawFiles.examples().get(name)));
    Process exiftool =
        new ProcessBuilder("exiftool", "-b", "-PreviewImage", file.toString())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    byte[] theirs = exiftool.getInputStream().readAllBytes();
    Frame frame = requireNonNull(new FrameReader().read(folder, file).frame());
    EmbeddedJpeg ours = requireNonNull(frame.picture().largest());
    int from = (int) ours.offset();
    assertThat(theirs)
        .isEqualTo(Arrays.copyOfRange(Files.readAllBytes(file), from, from + (int) ours.length()));
  }

  @ParameterizedTest
  @CsvSource({"'   :  ', true", "'', true", "+00:00, false", "-03:30, false"})
  void unknown_offset_isABlankOne(String offset, boolean unknown) {
    assertThat(ExiftoolComparison.unknown("offset", offset)).isEqualTo(unknown);
  }

  /**
   * A whole folder of pictures: {@code -Dcompare=FOLDER}. None may be wrong; what is missing must
   * be listed with its reason in the text file {@code -Dcompare.known=FILE}, lines of path, field
   * and reason with tabs between.
   */
  @Test
  @EnabledIfSystemProperty(named = "compare", matches = ".+")
  void folder_noValueIsWrongAndAllMissingAreListed() throws IOException {
    assertThat(ExiftoolComparison.installed()).as("exiftool is installed").isTrue();
    List<Line> lines = ExiftoolComparison.run(Path.of(System.getProperty("compare")));
    Map<String, String> known = new HashMap<>();
    String list = System.getProperty("compare.known");
    if (list != null) {
      for (String line : Files.readAllLines(Path.of(list), StandardCharsets.UTF_8)) {
        String[] parts = line.split("\t", 3);
        if (parts.length == 3 && !parts[2].isBlank()) {
          known.put(parts[0] + "\t" + parts[1], parts[2]);
        }
      }
    }
    List<String> report = new ArrayList<>();
    report.add(ExiftoolComparison.summary(lines));
    for (Line l : lines) {
      if (l.outcome() == Outcome.WRONG || l.outcome() == Outcome.MISSING) {
        report.add(
            String.join(
                "\t",
                l.outcome().toString(),
                l.key(),
                l.here(),
                l.there(),
                known.getOrDefault(l.key(), "NOT LISTED")));
      }
    }
    Path out = Path.of("target", "exiftool-comparison.txt");
    Files.createDirectories(out.getParent());
    Files.write(out, report);
    assertThat(lines).filteredOn(l -> l.outcome() == Outcome.WRONG).isEmpty();
    long missing = lines.stream().filter(l -> l.outcome() == Outcome.MISSING).count();
    long all = lines.stream().filter(l -> l.outcome() != Outcome.ONLY_HERE).count();
    assertThat((double) missing / Math.max(1, all)).as("share missing").isLessThanOrEqualTo(0.02);
    assertThat(lines)
        .filteredOn(l -> l.outcome() == Outcome.MISSING && !known.containsKey(l.key()))
        .as("missing and not listed with a reason, see %s", out)
        .isEmpty();
  }
}
