package samelight.engine.delivery;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import samelight.engine.photometry.SrgbTransfer;

/** Names, the choice of the first set, the spreadsheet, smaller pictures. */
class GalleryRulesTest {
  /** Windows' rules as Microsoft states them ("Naming Files, Paths, and Namespaces"). */
  @Property
  void names_anyText_areSafeEverywhere(@ForAll String text) {
    String name = SafeNames.of(text, "Section");

    assertThat(name).isNotBlank().doesNotContainPattern("[<>:\"/\\\\|?*\\x00-\\x1F\\x7F]");
    assertThat(name).doesNotStartWith(".").doesNotStartWith(" ");
    assertThat(name).doesNotEndWith(".").doesNotEndWith(" ");
    assertThat(name.toUpperCase(Locale.ROOT))
        .doesNotMatch("(CON|PRN|AUX|NUL|COM\\d|LPT\\d)( *\\..*)?");
    assertThat(name.codePointCount(0, name.length())).isLessThanOrEqualTo(61);
    assertThat(SafeNames.of(name, "Section")).isEqualTo(name);
    assertThat(SafeNames.variant(text)).doesNotContainPattern("[^\\p{L}\\p{M}\\p{N}-]");
  }

  @Test
  void names_ofEverydayKind_stayAsTheyAre() {
    for (String name : List.of("Dressing room", "Cérémonie", "家族", "Speeches, part 2")) {
      assertThat(SafeNames.of(name, "x")).isEqualTo(name);
    }
    assertThat(SafeNames.of("nul.txt", "x")).isEqualTo("_nul.txt");
    assertThat(SafeNames.of("../../etc", "x")).isEqualTo("etc");
    assertThat(SafeNames.variant("-bw")).isEqualTo("bw");
    assertThat(SafeNames.variant(" (2)")).isEqualTo("2");
  }

  @Property
  void early_takesAsManyAsAsked_theBestOfEverySection(
      @ForAll @Size(max = 60) List<@IntRange(max = 24) Integer> frames,
      @ForAll @IntRange(min = 1, max = 40) int number) {
    List<Early.Candidate> candidates = new ArrayList<>();
    Map<String, Double> best = new HashMap<>();
    for (int i = 0; i < frames.size(); i++) {
      String section = "s" + frames.get(i) % 4;
      double rating = Math.floorDiv(frames.get(i), 4) % 6;
      candidates.add(new Early.Candidate("f" + i, section, rating));
      best.merge(section, rating, Math::max);
    }

    Set<String> chosen = Early.choose(candidates, number);

    assertThat(chosen).hasSize(Math.min(number, frames.size()));
    Map<String, Double> got = new HashMap<>();
    double leastChosen = 9;
    double bestLeft = -1;
    for (Early.Candidate c : candidates) {
      if (chosen.contains(c.frame())) {
        got.merge(c.section(), c.rating(), Math::max);
      } else {
        bestLeft = Math.max(bestLeft, c.rating());
      }
    }
    if (number >= best.size()) {
      assertThat(got).isEqualTo(best);
      // beyond the one of each section nothing better was left
      Set<String> first = new TreeSet<>();
      for (Early.Candidate c : candidates) {
        boolean ofSection =
            c.rating() == best.getOrDefault(c.section(), 0.0) && first.add(c.section());
        if (chosen.contains(c.frame())
            && !ofSection
            && c.rating() < best.getOrDefault(c.section(), 0.0)) {
          leastChosen = Math.min(leastChosen, c.rating());
        }
      }
      assertThat(leastChosen).isGreaterThanOrEqualTo(Math.min(9, bestLeft));
    }
  }

  @Test
  void early_ofOneRating_isSpreadOverTheSection() {
    List<Early.Candidate> candidates = new ArrayList<>();
    for (int i = 0; i < 100; i++) {
      candidates.add(new Early.Candidate(String.valueOf(i), "s", 3));
    }
    List<Integer> chosen =
        Early.choose(candidates, 7).stream().map(Integer::valueOf).sorted().toList();
    for (int i = 1; i < chosen.size(); i++) {
      assertThat(chosen.get(i) - chosen.get(i - 1)).isBetween(8, 20);
    }
  }

  /** OWASP, "CSV injection": what a spreadsheet takes for the beginning of a formula. */
  @Test
  void cells_runAsNoFormula() {
    for (String bad : List.of("=1+1", "+1", "-1", "@x", "\t=1", "\r=1", "=cmd|'/C calc'!A0")) {
      assertThat(GalleryManifest.cell(bad)).startsWith("\"'");
    }
    assertThat(GalleryManifest.cell("a \"b\", c")).isEqualTo("\"a \"\"b\"\", c\"");
    assertThat(GalleryManifest.cell("Dressing room")).isEqualTo("\"Dressing room\"");
  }

  /** An even surface stays; a fine pattern of black and white gets the mean of its light. */
  @Test
  void smaller_mixesLightNotCodes() {
    byte[] even =
        LinearLight.scale((y, row) -> java.util.Arrays.fill(row, (byte) 77), 90, 60, 31, 20);
    for (byte b : even) {
      assertThat(b & 255).isEqualTo(77);
    }
    byte[] mixed =
        LinearLight.scale(
            (y, row) -> {
              for (int i = 0; i < row.length; i++) {
                row[i] = (byte) ((i / 3 + y) % 2 == 0 ? 255 : 0);
              }
            },
            400,
            400,
            50,
            50);
    int half = SrgbTransfer.encode8(0.5); // 188, not 128
    for (byte b : mixed) {
      assertThat(b & 255).isBetween(half - 3, half + 3);
    }
  }
}
