package samelight.engine;

import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Picture;
import samelight.engine.store.FrameStore;

/**
 * Time and memory of grouping and match for frames that were read before: of a shoot as it is, and
 * of 1,000 to 100,000 frames made of it by repeating it day after day. Sizes up to 4,000 are run
 * twice, and the second run counts. CPU time is that of the one thread that the analysis uses.
 */
public final class AnalysisSpeed {
  private static final int WARM = 4000;

  private AnalysisSpeed() {}

  /**
   * Prints a table.
   *
   * @param args the folder of a shoot that has been grouped, then sizes; 1000 4000 16000 100000
   *     where none are given
   */
  public static void main(String[] args) {
    List<Frame> read = FrameStore.load(ShootPaths.of(Path.of(args[0])), true).frames();
    List<Integer> sizes = new ArrayList<>();
    for (int i = 1; i < args.length; i++) {
      sizes.add(Integer.parseInt(args[i]));
    }
    for (int size : sizes.isEmpty() ? List.of(1000, 4000, 16000, 100000) : sizes) {
      List<Frame> frames = repeated(read, size);
      for (boolean pictures : new boolean[] {false, true}) {
        List<Frame> given = pictures ? frames : frames.stream().map(AnalysisSpeed::bare).toList();
        if (size <= WARM) {
          run(given);
        }
        forgetPeaks();
        double[] second = run(given);
        System.out.printf(
            Locale.ROOT,
            "%6d frames %s pictures: %.2f s CPU, %.0f groups, peak heap %.0f MB%n",
            size,
            pictures ? "with" : "without",
            second[0],
            second[1],
            peak() / 1e6);
      }
    }
  }

  private static double[] run(List<Frame> frames) {
    long start = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    long end = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
    return new double[] {(end - start) / 1e9, a.groups().size()};
  }

  private static List<Frame> repeated(List<Frame> read, int size) {
    List<Frame> out = new ArrayList<>(size);
    for (int day = 0; out.size() < size; day++) {
      for (Frame f : read) {
        if (out.size() < size) {
          out.add(moved(f, day));
        }
      }
    }
    return out;
  }

  private static Frame moved(Frame f, int day) {
    CaptureTime time = f.time();
    return new Frame(
        "d" + day + "/" + f.file(),
        null,
        f.body(),
        time == null
            ? null
            : new CaptureTime(
                time.local().plus(Duration.ofDays(day)), time.offset(), time.subSecond()),
        f.settings(),
        f.flash(),
        f.whiteBalance(),
        f.optics(),
        f.picture(),
        f.marks(),
        f.provenance(),
        f.findings());
  }

  private static Frame bare(Frame f) {
    Picture p = f.picture();
    return new Frame(
        f.file(),
        f.paired(),
        f.body(),
        f.time(),
        f.settings(),
        f.flash(),
        f.whiteBalance(),
        f.optics(),
        new Picture(
            p.orientation(),
            p.width(),
            p.height(),
            null,
            p.smallest(),
            p.largest(),
            p.brightening()),
        f.marks(),
        f.provenance(),
        f.findings());
  }

  private static void forgetPeaks() {
    System.gc();
    ManagementFactory.getMemoryPoolMXBeans().forEach(MemoryPoolMXBean::resetPeakUsage);
  }

  private static long peak() {
    return ManagementFactory.getMemoryPoolMXBeans().stream()
        .filter(p -> p.getType() == MemoryType.HEAP)
        .mapToLong(p -> p.getPeakUsage().getUsed())
        .sum();
  }
}
