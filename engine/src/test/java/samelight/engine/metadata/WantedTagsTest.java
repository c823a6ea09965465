package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** Passing over tags changes nothing: what isn't wanted is never asked for. */
class WantedTagsTest {
  private static final List<BitSet> SETS =
      List.of(WantedTags.PICTURE, WantedTags.NOTES, WantedTags.OTHER);

  @Test
  void read_samples_givesWhatItGivesWithAllTags() {
    Map<String, Reading> passing = readings();
    List<BitSet> before = SETS.stream().map(s -> (BitSet) s.clone()).toList();
    Map<String, Reading> keeping;
    try {
      SETS.forEach(s -> s.set(0, 1 << 16));
      keeping = readings();
    } finally {
      for (int i = 0; i < SETS.size(); i++) {
        SETS.get(i).and(before.get(i));
      }
    }
    assertThat(passing).hasSizeGreaterThan(15).isEqualTo(keeping);
    assertThat(WantedTags.PICTURE.cardinality()).isLessThan(100);
  }

  private static Map<String, Reading> readings() {
    Map<String, Reading> readings = new LinkedHashMap<>();
    for (Path p : Samples.all()) {
      readings.put(p.toString(), new FrameReader().read(Samples.folder(), p));
    }
    return readings;
  }

  // Software (0x0131) is read by nothing here.
  @Test
  void get_tagThatIsNotWanted_isRefused() {
    Directory d = new Directory(Directory.Kind.MAIN, 0);
    assertThat(d.get(0x010F)).isNull();
    assertThatThrownBy(() -> d.get(0x0131))
        .isInstanceOf(AssertionError.class)
        .hasMessageContaining("(0x0131) isn't wanted in IFD0");
  }
}
