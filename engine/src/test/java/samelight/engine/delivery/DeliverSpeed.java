package samelight.engine.delivery;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Stream;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.metadata.ReadProgress;
import samelight.engine.store.PhotographerDecisions;
import samelight.engine.store.Plan;
import samelight.engine.testing.FrameBuilder;
import samelight.engine.timeline.Section;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/**
 * Side by side in one run: a private delivery, checks, verification and lists included, against
 * {@code cp} of the same exports and {@code sync} of what it wrote. Alternates, prints both times
 * and their ratio. The gallery stands, verified and listed, before its page is made; both moments
 * count.
 *
 * <p>{@code mvn -q -pl engine test-compile exec:java -Dexec.classpathScope=test
 * -Dexec.mainClass=samelight.engine.delivery.DeliverSpeed -Dexec.args="FOLDER 800 3"}: a folder on
 * the drive in question, exports of 6 MB, rounds. Needs GNU coreutils.
 */
public final class DeliverSpeed {
  private static final int WIDTH = 3_600;
  private static final int HEIGHT = 2_400;

  private DeliverSpeed() {}

  /** Makes the exports, runs both ways in turn, deletes what it made. */
  public static void main(String[] args) throws Exception {
    Path root = Files.createTempDirectory(Path.of(args[0]), "deliver-speed-");
    int exports = args.length > 1 ? Integer.parseInt(args[1]) : 800;
    int rounds = args.length > 2 ? Integer.parseInt(args[2]) : 3;
    try {
      Path from = Files.createDirectory(root.resolve("exports"));
      Path shoot = Files.createDirectory(root.resolve("shoot"));
      byte[] jpeg =
          Jpegs.with(
              Jpegs.encode(Jpegs.picture(WIDTH, HEIGHT, false, 1), 0.955f, false), Jpegs.profile());
      List<Frame> frames = new ArrayList<>();
      for (int i = 1; i <= exports; i++) {
        String name = String.format("IMG_%04d", i);
        frames.add(FrameBuilder.frame("A/" + name + ".DNG").at((double) i).build());
        jpeg[jpeg.length - 3] = (byte) (i % 251); // no two alike
        Files.write(from.resolve(name + ".jpg"), jpeg);
      }
      run("sync");
      List<Double> ratios = new ArrayList<>();
      for (int i = 0; i < rounds; i++) {
        double cp = copy(root, from);
        Times ours = deliver(root, shoot, from, frames);
        ratios.add(ours.stands / cp);
        System.out.printf(
            "%d exports of %.1f MB: cp and sync %.1f s; the gallery stands after %.1f s, ratio"
                + " %.2f; with its page after %.1f s, ratio %.2f%n",
            exports,
            jpeg.length / 1e6,
            cp,
            ours.stands,
            ours.stands / cp,
            ours.whole,
            ours.whole / cp);
      }
      ratios.sort(Comparator.naturalOrder());
      System.out.printf("median ratio of the gallery %.2f%n", ratios.get(ratios.size() / 2));
    } finally {
      delete(root);
    }
  }

  private static double copy(Path root, Path from) throws Exception {
    Path to = root.resolve("copy");
    long began = System.nanoTime();
    run("bash", "-c", "cp -r '" + from + "' '" + to + "' && sync '" + to + "'/*");
    double seconds = (System.nanoTime() - began) * 1e-9;
    delete(to);
    run("sync");
    return seconds;
  }

  /** Seconds from the start. */
  private record Times(double stands, double whole) {}

  private static Times deliver(Path root, Path shoot, Path from, List<Frame> frames)
      throws Exception {
    List<TimedFrame> day = Timeline.of(frames, Map.of(), new ArrayList<>());
    List<String> files = frames.stream().map(Frame::file).toList();
    Plan plan =
        new Plan(
            List.of(),
            List.of(new Section("s1", "Day", null, null)),
            List.of(new LightingGroup("g1", "s1", files.get(0), files)),
            new LinkedHashMap<>(),
            Map.of(),
            Map.of(),
            PhotographerDecisions.NONE,
            List.of());
    DeliverRequest.Options options =
        new DeliverRequest.Options(false, true, "", false, 0, 0, 0, List.of(), Set.of(), true, 0);
    Path to = root.resolve("gallery");
    AtomicLong stands = new AtomicLong();
    long began = System.nanoTime();
    DeliverResult result =
        Deliver.run(
            new DeliverRequest(shoot, plan, day, from, to, options),
            ReadProgress.NONE,
            ReadProgress.NONE,
            (done, total) -> stands.compareAndSet(0, System.nanoTime()));
    Times times = new Times((stands.get() - began) * 1e-9, (System.nanoTime() - began) * 1e-9);
    if (result.copied() != frames.size()) {
      throw new IllegalStateException("not all was delivered: " + result.findings());
    }
    delete(to);
    Files.delete(shoot.resolve(DeliveryLog.NAME));
    run("sync");
    return times;
  }

  private static void run(String... command) throws Exception {
    int status = new ProcessBuilder(command).inheritIO().start().waitFor();
    if (status != 0) {
      throw new IllegalStateException(String.join(" ", command) + " ended with " + status);
    }
  }

  private static void delete(Path folder) throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path p : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(p);
      }
    }
  }
}
