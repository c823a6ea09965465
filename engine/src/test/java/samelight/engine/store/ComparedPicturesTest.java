package samelight.engine.store;

import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.importer.ClassFileImporter;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.Analysis;
import samelight.engine.AnalysisOptions;
import samelight.engine.ShootAnalysis;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.likeness.ComparisonMemory.Question;
import samelight.engine.likeness.SharedContent;
import samelight.engine.likeness.ViewFacts;
import samelight.engine.testing.FrameBuilder;
import samelight.engine.testing.Scene;

/**
 * What comparing pictures showed is remembered, changes nothing, and is forgotten when in doubt.
 */
class ComparedPicturesTest {
  @TempDir Path folder;
  private ShootPaths shoot = ShootPaths.of(Path.of("."));

  @BeforeEach
  void shoot() throws IOException {
    Files.createDirectory(folder.resolve("samelight"));
    shoot = ShootPaths.of(folder);
  }

  private static List<Frame> day(int frames) {
    Scene place = new Scene(5);
    Scene other = new Scene(6);
    List<Frame> out = new ArrayList<>();
    for (int i = 0; i < frames; i++) {
      Scene scene = i % 5 < 3 ? place : other;
      out.add(
          FrameBuilder.frame("F_" + i + ".DNG")
              .at(i * 7.0)
              .thirds(i % 3)
              .small(scene.image(0.1 + 0.02 * (i % 4), 0.2, 0.5, -(i % 3) / 3.0, 0))
              .build());
    }
    return out;
  }

  /** Counts what a memory couldn't answer. */
  private static final class Counting implements ComparisonMemory {
    private final ComparisonMemory memory;
    int kept;

    Counting(ComparisonMemory memory) {
      this.memory = memory;
    }

    @Override
    public boolean remembers() {
      return memory.remembers();
    }

    @Override
    public @Nullable Answer answer(Question question, long first, long second) {
      return memory.answer(question, first, second);
    }

    @Override
    public void keep(Question question, long first, long second, @Nullable SharedContent found) {
      kept++;
      memory.keep(question, first, second, found);
    }

    @Override
    public @Nullable ViewFacts facts(long picture) {
      return memory.facts(picture);
    }

    @Override
    public void keep(long picture, ViewFacts facts) {
      kept++;
      memory.keep(picture, facts);
    }
  }

  private int compared(List<Frame> frames, Analysis expected) {
    ComparedPictures memory = ComparedPictures.open(shoot);
    Counting counting = new Counting(memory);
    Analysis found =
        ShootAnalysis.study(frames, Map.of(), counting).analysis(AnalysisOptions.DEFAULT);
    assertThat(found).usingRecursiveComparison().isEqualTo(expected);
    memory.write();
    return counting.kept;
  }

  @Test
  void study_again_comparesNothingAndFindsTheSame() throws IOException {
    List<Frame> frames = day(30);
    Analysis plain = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    assertThat(compared(frames, plain)).isPositive();
    byte[] first = Files.readAllBytes(folder.resolve(ComparedPictures.NAME));
    assertThat(compared(frames, plain)).isZero();
    assertThat(Files.readAllBytes(folder.resolve(ComparedPictures.NAME))).isEqualTo(first);
  }

  @Test
  void study_withMoreFrames_comparesOnlyThese() {
    List<Frame> all = day(40);
    List<Frame> some = all.subList(0, 36);
    int many = compared(some, ShootAnalysis.of(some, AnalysisOptions.DEFAULT));
    int few = compared(all, ShootAnalysis.of(all, AnalysisOptions.DEFAULT));
    assertThat(few).isPositive().isLessThan(many / 2);
  }

  @Test
  void study_withFewerFrames_forgetsTheRest() throws IOException {
    List<Frame> all = day(40);
    List<Frame> some = all.subList(0, 20);
    compared(all, ShootAnalysis.of(all, AnalysisOptions.DEFAULT));
    long large = Files.size(folder.resolve(ComparedPictures.NAME));
    compared(some, ShootAnalysis.of(some, AnalysisOptions.DEFAULT));
    assertThat(Files.size(folder.resolve(ComparedPictures.NAME))).isLessThan(large);
  }

  @Test
  void open_damagedAtAnyByte_forgetsRatherThanBelieves() throws IOException {
    List<Frame> frames = day(12);
    Analysis plain = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    int whole = compared(frames, plain);
    Path file = folder.resolve(ComparedPictures.NAME);
    byte[] sound = Files.readAllBytes(file);
    Random random = new Random(3);
    for (int i = 0; i < 12; i++) {
      byte[] damaged = sound.clone();
      damaged[random.nextInt(damaged.length)] ^= (byte) (1 << random.nextInt(8));
      Files.write(file, damaged);
      assertThat(compared(frames, plain)).isEqualTo(whole);
    }
    for (int length : new int[] {0, 3, 20, 30, sound.length - 1}) {
      Files.write(file, java.util.Arrays.copyOf(sound, length));
      assertThat(compared(frames, plain)).isEqualTo(whole);
    }
  }

  @Test
  void answers_ofManyPictures_areToldApart() {
    ComparedPictures memory = ComparedPictures.open(shoot);
    Random random = new Random(1);
    Map<List<Long>, @Nullable SharedContent> expected = new HashMap<>();
    for (int i = 0; i < 5000; i++) {
      Question q = Question.of(random.nextInt(3));
      long a = random.nextInt(60);
      long b = random.nextInt(60);
      SharedContent found =
          random.nextInt(4) == 0 ? new SharedContent(i, 1, 2, 3, 4, 5, 6, 7, 8, i, i) : null;
      if (expected.putIfAbsent(List.of((long) q.code(), a, b), found) == null
          && memory.answer(q, a, b) == null) {
        memory.keep(q, a, b, found);
      } else {
        expected.put(
            List.of((long) q.code(), a, b),
            Objects.requireNonNull(memory.answer(q, a, b)).shared());
      }
    }
    memory.write();
    ComparedPictures read = ComparedPictures.open(shoot);
    expected.forEach(
        (key, found) ->
            assertThat(read.answer(Question.of(key.get(0).intValue()), key.get(1), key.get(2)))
                .isEqualTo(new ComparisonMemory.Answer(found)));
    assertThat(read.answer(Question.SHARED, 61, 1)).isNull();
  }

  /** Whatever changes in a comparison must make the file another program's. */
  @Test
  void program_hangsOnAllClassesThatComparePictures() {
    Set<String> classes = new TreeSet<>();
    new ClassFileImporter()
        .importPackages("samelight.engine.likeness").stream()
            .map(c -> c.getName().substring("samelight.engine.".length()).replace('.', '/'))
            .filter(
                c ->
                    ComparedPicturesTest.class.getResource("/samelight/engine/" + c + ".class")
                        != null)
            .filter(
                c ->
                    !c.matches(
                        "likeness/(Likeness|Movement|Look|Look\\$Banded|ViewFacts|SharedContent|ComparisonMemory.*|.*Test.*|package-info)"))
            .forEach(classes::add);
    assertThat(ComparedPictures.CLASSES).containsAll(classes);
    for (String name : ComparedPictures.CLASSES) {
      assertThat(getClass().getResource("/samelight/engine/" + name + ".class")).isNotNull();
    }
    assertThat(ComparedPictures.program()).isEqualTo(ComparedPictures.program());
  }
}
