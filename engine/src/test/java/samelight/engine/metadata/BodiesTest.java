package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.Frame;
import samelight.engine.testing.FrameBuilder;

class BodiesTest {
  private static Frame frame(String file, String model, @Nullable String serial) {
    return FrameBuilder.frame(file).build().withBody(new BodyId("?", "Hollin", model, serial));
  }

  private static List<String> ids(Frame... frames) {
    return Bodies.tellApart(List.of(frames)).stream().map(f -> f.body().id()).toList();
  }

  @Test
  void tellApart_someFramesLostTheirSerial_isOneBody() {
    List<Frame> out =
        Bodies.tellApart(
            List.of(
                frame("HLN_0001.JPG", "H1", "00441207"),
                frame("HLN_0002.JPG", "H1", null),
                frame("HLN_0003.JPG", "H1", "441207")));
    assertThat(out).extracting(f -> f.body().id()).containsOnly("h1-1207");
    assertThat(out).extracting(f -> f.body().serial()).containsOnly("441207");
  }

  @Test
  void tellApart_twoSerials_leaveTheUnknownToABodyOfTheirOwn() {
    assertThat(
            ids(
                frame("HLN_0001.JPG", "H1", "441207"),
                frame("HLN_0002.JPG", "H1", "553318"),
                frame("HLN_0003.JPG", "H1", null),
                frame("_HLN0004.JPG", "H1", null)))
        .containsExactly("h1-1207", "h1-3318", "h1-hln", "h1-hln");
  }

  @Test
  void tellApart_otherPrefixOrModel_isNotTheNumberedBody() {
    assertThat(
            ids(
                frame("HLN_0001.JPG", "H1", "441207"),
                frame("WED_0002.JPG", "H1", null),
                frame("HLN_0003.JPG", "H2", null)))
        .containsExactly("h1-1207", "h1-wed", "h2-hln");
  }

  @Test
  void own_serialOfNeighbours_isTakenAway() {
    Frame lent = frame("HLN_0001.JPG", "H1", "441207");
    assertThat(lent.provenance()).doesNotContainKey("serial");
    assertThat(Bodies.own(lent).body().serial()).isNull();
  }

  @Property
  void tellApart_anyOrder_givesEachFrameTheSameBody(
      @ForAll @Size(max = 20) List<@IntRange(max = 17) Integer> kinds, @ForAll long seed) {
    List<Frame> frames = new ArrayList<>();
    for (int i = 0; i < kinds.size(); i++) {
      int kind = kinds.get(i);
      String prefix = kind % 2 == 0 ? "HLN_" : "WED_";
      String serial = kind % 3 == 0 ? null : "44120" + kind % 3;
      frames.add(frame(prefix + (1000 + i) + ".JPG", kind < 9 ? "H1" : "H2", serial));
    }
    List<Frame> shuffled = new ArrayList<>(frames);
    Collections.shuffle(shuffled, new Random(seed));
    assertThat(bodies(Bodies.tellApart(shuffled))).isEqualTo(bodies(Bodies.tellApart(frames)));
  }

  private static Map<String, BodyId> bodies(List<Frame> frames) {
    Map<String, BodyId> m = new TreeMap<>();
    frames.forEach(f -> m.put(f.file(), f.body()));
    return m;
  }
}
