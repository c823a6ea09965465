package samelight.engine.delivery;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Objects;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.Frame;
import samelight.engine.testing.FrameBuilder;

class ExportMatchTest {
  private static Frame frame(String file, String body, double seconds) {
    return FrameBuilder.frame(file).body(body).at(seconds).build();
  }

  private static LocalDateTime time(Frame frame) {
    return Objects.requireNonNull(frame.time()).local();
  }

  private static Export taken(String path, Frame like, long secondsLater) {
    return new Export(
        path, time(like).plusSeconds(secondsLater), false, "", "", like.body().serial());
  }

  private static final Frame ONE = frame("A/100/IMG_0001.DNG", "one", 1);
  private static final Frame TWO = frame("A/100/IMG_0002.DNG", "one", 2);
  private static final Frame TWELVE = frame("A/100/IMG_00012.DNG", "one", 12);
  private static final Frame OTHER_ONE = frame("B/100/IMG_0001.JPG", "two", 700);

  private static ExportMatch.Result match(List<Frame> frames, Export... exports) {
    return ExportMatch.of(List.of(exports), frames);
  }

  @Test
  void name_beginsWithTheLongestStem() {
    var result =
        match(
            List.of(ONE, TWO, TWELVE),
            Export.named("IMG_0001.jpg"),
            Export.named("img_00012.JPG"),
            Export.named("sub/IMG_0002-bw.jpg"),
            Export.named("IMG_0002 (2).jpg"),
            Export.named("IMG_0002bw.jpg"));

    assertThat(result.unmatched()).isEmpty();
    assertThat(result.doubled()).isEmpty();
    assertThat(result.pairs())
        .extracting(p -> p.export() + " " + p.frame() + " [" + p.variant() + "]")
        .containsExactly(
            "IMG_0001.jpg A/100/IMG_0001.DNG []",
            "IMG_0002 (2).jpg A/100/IMG_0002.DNG [ (2)]",
            "IMG_0002bw.jpg A/100/IMG_0002.DNG [bw]",
            "img_00012.JPG A/100/IMG_00012.DNG []",
            "sub/IMG_0002-bw.jpg A/100/IMG_0002.DNG [-bw]");
  }

  @Test
  void stemOfTwoFrames_isToldByTimeThenByFolder() {
    List<Frame> frames = List.of(ONE, OTHER_ONE);

    assertThat(match(frames, taken("IMG_0001.jpg", OTHER_ONE, 0)).pairs())
        .singleElement()
        .returns(OTHER_ONE.file(), ExportMatch.Pair::frame);
    assertThat(match(frames, Export.named("a/IMG_0001.jpg")).pairs())
        .singleElement()
        .returns(ONE.file(), ExportMatch.Pair::frame);
    assertThat(match(frames, Export.named("out/b/100/IMG_0001.jpg")).pairs())
        .singleElement()
        .returns(OTHER_ONE.file(), ExportMatch.Pair::frame);
    assertThat(match(frames, Export.named("IMG_0001.jpg")).unmatched())
        .singleElement()
        .satisfies(u -> assertThat(u.reason()).contains(ONE.file(), OTHER_ONE.file()));
  }

  @Test
  void renamed_isFoundByTimeAndBody() {
    Frame sameSecond = frame("B/200/DSC_0099.JPG", "two", 1);
    var found = match(List.of(ONE, TWO), taken("garden-0001.jpg", ONE, 0));
    assertThat(found.pairs())
        .singleElement()
        .returns(ONE.file(), ExportMatch.Pair::frame)
        .returns("", ExportMatch.Pair::variant);

    Export ofModel =
        new Export(
            "garden-0002.jpg",
            time(sameSecond),
            false,
            sameSecond.body().make(),
            sameSecond.body().model(),
            sameSecond.body().serial());
    var result = match(List.of(ONE, TWO, sameSecond), ofModel);
    assertThat(result.pairs().size() + result.unmatched().size()).isEqualTo(1);
    result.unmatched().forEach(u -> assertThat(u.reason()).contains("2 were taken at"));

    assertThat(match(List.of(ONE), taken("garden-0003.jpg", ONE, 500)).unmatched())
        .singleElement()
        .satisfies(u -> assertThat(u.reason()).contains("none was taken at"));
    assertThat(match(List.of(ONE), Export.named("garden-0004.jpg")).unmatched())
        .singleElement()
        .satisfies(u -> assertThat(u.reason()).contains("no Exif capture time"));
  }

  @Test
  void renamedVariants_areToldByWhatFollowsTheShortestName() {
    var result =
        match(
            List.of(ONE, TWO),
            taken("garden-7.jpg", ONE, 0),
            taken("garden-7-bw.jpg", ONE, 0),
            taken("other.jpg", TWO, 0),
            taken("thing.jpg", TWO, 0));

    assertThat(result.pairs())
        .extracting(p -> p.export() + " [" + p.variant() + "]")
        .containsExactly(
            "garden-7-bw.jpg [-bw]", "garden-7.jpg []", "other.jpg []", "thing.jpg []");
    assertThat(result.doubled())
        .singleElement()
        .satisfies(d -> assertThat(d.exports()).containsExactly("other.jpg", "thing.jpg"));
  }

  @Test
  void sameFrameAndVariantTwice_isDoubled() {
    var result =
        match(
            List.of(ONE),
            Export.named("x/IMG_0001-BW.jpg"),
            Export.named("y/img_0001-bw.jpeg"),
            Export.named("IMG_0001.jpg"));

    assertThat(result.doubled())
        .singleElement()
        .satisfies(
            d ->
                assertThat(d.exports()).containsExactly("x/IMG_0001-BW.jpg", "y/img_0001-bw.jpeg"));
  }

  @Test
  void timeThatContradictsTheName_isDoubtful_unlessTheWholeBodyIsShifted() {
    var lone = match(List.of(ONE, TWO, TWELVE), taken("IMG_0001.jpg", ONE, 3_600));
    assertThat(lone.pairs())
        .singleElement()
        .satisfies(p -> assertThat(p.doubt()).contains("but taken"));

    var shifted =
        match(
            List.of(ONE, TWO, TWELVE, frame("A/100/IMG_0020.DNG", "one", 20)),
            taken("IMG_0001.jpg", ONE, -247),
            taken("IMG_0002.jpg", TWO, -247),
            taken("IMG_00012.jpg", TWELVE, -247),
            taken("renamed.jpg", frame("A/100/IMG_0020.DNG", "one", 20), -247));
    assertThat(shifted.pairs()).hasSize(4).allSatisfy(p -> assertThat(p.doubt()).isNull());
  }

  /** No export is lost, none is in two places, and the order of the input doesn't matter. */
  @Property(tries = 200)
  void everyExport_isInExactlyOnePlace(@ForAll long seed, @ForAll @IntRange(max = 40) int n) {
    Random random = new Random(seed);
    List<Frame> frames = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      frames.add(
          frame(
              (i % 2 == 0 ? "A/" : "B/") + "IMG_" + i / (i % 3 == 0 ? 2 : 1) + "." + i,
              i % 2 == 0 ? "one" : "two",
              Math.floorDiv(i, 3)));
    }
    Set<String> paths = new TreeSet<>();
    List<Export> exports = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      String name =
          (random.nextBoolean() ? "IMG_" : "x")
              + random.nextInt(40)
              + (random.nextInt(3) == 0 ? "-bw" : "");
      String path = (random.nextBoolean() ? "a/" : "") + name + ".jpg";
      if (paths.add(path)) {
        Frame like = frames.get(random.nextInt(frames.size()));
        exports.add(
            random.nextBoolean() ? Export.named(path) : taken(path, like, random.nextInt(2)));
      }
    }
    var result = ExportMatch.of(exports, frames);
    List<String> seen = new ArrayList<>();
    result.pairs().forEach(p -> seen.add(p.export()));
    result.unmatched().forEach(u -> seen.add(u.export()));
    assertThat(seen).containsExactlyInAnyOrderElementsOf(paths);
    Collections.shuffle(exports, random);
    Collections.shuffle(frames, random);
    var again = ExportMatch.of(exports, frames);
    assertThat(again.pairs()).isEqualTo(result.pairs());
    assertThat(again.doubled()).isEqualTo(result.doubled());
    assertThat(again.unmatched().stream().map(ExportMatch.Unmatched::export))
        .isEqualTo(result.unmatched().stream().map(ExportMatch.Unmatched::export).toList());
  }
}
