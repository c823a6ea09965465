package samelight.engine.keepers;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.Framings;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.metadata.ShootReader;
import samelight.engine.testing.Agreement;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/**
 * Framings against labels by eye: precision, recall and F1 over pairs of frames in one framing,
 * with the framings in which the two differ. The labels are {@code cones-framings.txt} of the test
 * resources, which says where its pictures are.
 *
 * <p>{@code mvn -q -pl engine test-compile exec:java -Dexec.classpathScope=test
 * -Dexec.mainClass=samelight.engine.keepers.FramingScore -Dexec.args=FOLDER}
 */
public final class FramingScore {
  private FramingScore() {}

  /** Prints the score of the pictures of a folder. */
  public static void main(String[] args) throws IOException {
    Map<Integer, String> labels = labels();
    List<Frame> frames =
        new ShootReader()
            .read(
                Path.of(args[0]), samelight.engine.metadata.ReadingCache.NONE, (done, total) -> {})
            .frames();
    List<TimedFrame> day = Timeline.of(frames, Map.of(), new ArrayList<>());
    Map<Integer, Integer> found = new TreeMap<>();
    List<List<String>> framings = Framings.find(day, ComparisonMemory.NONE).alike();
    for (int i = 0; i < framings.size(); i++) {
      for (String file : framings.get(i)) {
        found.put(Integer.parseInt(file.replaceAll("\\D+(\\d{4})\\..*", "$1")), i);
      }
    }
    List<String> truth = new ArrayList<>();
    for (int number : found.keySet()) {
      truth.add(labels.getOrDefault(number, "alone " + number));
    }
    List<Integer> numbers = new ArrayList<>(found.keySet());
    List<Integer> ours = new ArrayList<>(found.values());
    int both = 0;
    int onlyTruth = 0;
    int onlyOurs = 0;
    Map<String, String> split = new TreeMap<>();
    for (int i = 0; i < numbers.size(); i++) {
      for (int j = i + 1; j < numbers.size(); j++) {
        boolean t = truth.get(i).equals(truth.get(j));
        boolean o = ours.get(i).equals(ours.get(j));
        both += t && o ? 1 : 0;
        onlyTruth += t && !o ? 1 : 0;
        onlyOurs += !t && o ? 1 : 0;
        if (t != o && j == i + 1) {
          split.put(
              String.format("%04d", numbers.get(i)),
              numbers.get(i)
                  + " and "
                  + numbers.get(j)
                  + (t ? " are" : " are not")
                  + " one by the labels");
        }
      }
    }
    split.values().forEach(System.out::println);
    System.out.printf(
        Locale.ROOT,
        "%d frames, %d framings; pairs: both %d, labels only %d, found only %d; F1 %.3f (%.3f)%n",
        numbers.size(),
        framings.size(),
        both,
        onlyTruth,
        onlyOurs,
        2.0 * both / (2.0 * both + onlyTruth + onlyOurs),
        Agreement.of(truth, ours).pairF1());
  }

  private static Map<Integer, String> labels() throws IOException {
    Map<Integer, String> labels = new HashMap<>();
    try (InputStream in =
        Objects.requireNonNull(FramingScore.class.getResourceAsStream("cones-framings.txt"))) {
      for (String line : new String(in.readAllBytes(), StandardCharsets.UTF_8).lines().toList()) {
        if (!line.startsWith("#") && !line.isBlank()) {
          String[] w = line.split(" ", -1);
          for (int n = Integer.parseInt(w[0]); n <= Integer.parseInt(w[1]); n++) {
            labels.put(n, w[2]);
          }
        }
      }
    }
    return labels;
  }
}
