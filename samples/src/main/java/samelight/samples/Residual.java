package samelight.samples;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/**
 * Reads the sidecars of a carried shoot and says how far each frame still is from what was meant.
 *
 * <p>Of a frame with recipe exposure x and true gain g the residual is g + x stops; of a raw frame
 * with recipe temperature k and true light c it is 1e6/k - 1e6/c mired. Only this class and {@link
 * DemoGrades} read the truth.
 */
@Command(
    name = "residual",
    mixinStandardHelpOptions = true,
    description = "How far the carried frames of a sample shoot still are from what was meant.")
public final class Residual implements Callable<Integer> {

  /** The tolerance of a match in stops: side by side two such frames look lit alike. */
  static final double TOLERANCE = 1.0 / 6;

  /** Beyond this a client sees the difference. */
  static final double MISS = 1.0 / 3;

  @Parameters(index = "0", paramLabel = "SHOOT", description = "Folder of the carried shoot.")
  private @Nullable Path shoot;

  @Parameters(index = "1", paramLabel = "TRUTH", description = "Its truth file.")
  private @Nullable Path truth;

  @Spec private @Nullable CommandSpec spec;

  /** One frame with its recipe. */
  private record Carried(
      TruthFile.Frame frame,
      TruthFile.Frame reference,
      double stops,
      double mired,
      double sigma,
      double miredSigma,
      boolean doubted) {

    boolean isReference() {
      return frame.equals(reference);
    }

    double copied() {
      return frame.gain() - reference.gain();
    }

    double copiedMired() {
      return 1e6 / reference.kelvin() - 1e6 / frame.kelvin();
    }
  }

  /**
   * What the sidecars leave.
   *
   * @param frames frames that should have a recipe
   * @param references frames that were graded by hand
   * @param withoutRecipe paths of frames that have none
   * @param broken sidecars that are not as they should be, with the reason
   * @param doubted share of frames that need eyes
   * @param rms root mean square in stops, of frames that are neither doubted nor references
   * @param within share of those within 1/6 stop
   * @param p95 stops within which 95 % of those lie
   * @param rmsAll root mean square in stops of all but references
   * @param copyRms what copying the edit blindly would leave
   * @param unseenMisses share of all frames off by more than 1/3 stop and not doubted
   * @param miredP95 mired within which 95 % of raw frames lie that are neither doubted nor
   *     references; NaN without raw frames
   * @param copyMiredP95 what copying one temperature would leave
   * @param oneSigma share of all but references within one stated sigma in stops; 0.68 is honest
   * @param twoSigma share within two; 0.95 is honest
   * @param miredOneSigma the same in mired, raw frames only
   * @param miredTwoSigma the same in mired, raw frames only
   */
  public record Result(
      int frames,
      int references,
      List<String> withoutRecipe,
      List<String> broken,
      double doubted,
      double rms,
      double within,
      double p95,
      double rmsAll,
      double copyRms,
      double unseenMisses,
      double miredP95,
      double copyMiredP95,
      double oneSigma,
      double twoSigma,
      double miredOneSigma,
      double miredTwoSigma) {}

  private final List<Carried> carried = new ArrayList<>();
  private final List<String> without = new ArrayList<>();
  private final List<String> broken = new ArrayList<>();

  /** Prints the residual; exits with 0, 1 if frames lack a recipe, 3 if something is unreadable. */
  public static void main(String[] args) {
    System.exit(new CommandLine(new Residual()).execute(args));
  }

  @Override
  public Integer call() {
    CommandLine line = Objects.requireNonNull(spec).commandLine();
    try {
      Result r = print(Objects.requireNonNull(shoot), Objects.requireNonNull(truth), line.getOut());
      return r.withoutRecipe().isEmpty() && r.broken().isEmpty() ? 0 : 1;
    } catch (IOException e) {
      line.getErr().println(e.getMessage());
      return 3;
    }
  }

  /**
   * Measures without printing.
   *
   * @throws IOException if the truth or a sidecar cannot be read
   */
  public static Result of(Path shoot, Path truth) throws IOException {
    Residual r = new Residual();
    r.read(shoot, TruthFile.read(truth));
    return r.result(c -> true);
  }

  /**
   * Measures and prints in words.
   *
   * @throws IOException if the truth or a sidecar cannot be read
   */
  public static Result print(Path shoot, Path truth, PrintWriter out) throws IOException {
    Residual r = new Residual();
    r.read(shoot, TruthFile.read(truth));
    Result all = r.result(c -> true);
    r.print(all, out);
    out.flush();
    return all;
  }

  private void read(Path shoot, TruthFile truth) throws IOException {
    for (TruthFile.Frame f : truth.matched()) {
      Path file = Sidecar.of(shoot.resolve(f.file()));
      Sidecar s = file == null ? null : Sidecar.read(file);
      double exposure = s == null ? Double.NaN : s.number(Sidecar.RECIPE, "Exposure");
      if (s == null || Double.isNaN(exposure)) {
        without.add(f.file());
        continue;
      }
      String name = s.text(Sidecar.RECIPE, "Reference");
      TruthFile.Frame reference = name == null ? null : truth.find(name);
      if (reference == null) {
        broken.add(f.file() + ": slr:Reference is " + name + ", no frame of this shoot");
        continue;
      }
      double kelvin = s.number(Sidecar.RECIPE, "ColourTemperature");
      if (f.raw() && Double.isNaN(kelvin)) {
        broken.add(f.file() + ": a raw frame without slr:ColourTemperature");
      }
      check(f, reference, s, exposure, kelvin);
      carried.add(
          new Carried(
              f,
              reference,
              f.gain() + exposure,
              f.raw() ? 1e6 / kelvin - 1e6 / f.kelvin() : Double.NaN,
              s.number(Sidecar.RECIPE, "StopsSigma"),
              s.number(Sidecar.RECIPE, "MiredSigma"),
              !s.items(Sidecar.RECIPE, "NeedsEyes").isEmpty()));
    }
  }

  /** The editor's own properties, where the reference has them, must have come along. */
  private void check(
      TruthFile.Frame f, TruthFile.Frame reference, Sidecar s, double exposure, double kelvin) {
    double gain = s.number(DemoGrades.EDITOR, "GainStops");
    if (Double.isNaN(gain) || f.equals(reference)) {
      return;
    }
    if (Math.abs(gain - exposure) > 0.011) {
      broken.add(f.file() + ": the editor's exposure " + gain + " is not slr:Exposure " + exposure);
    }
    double white = s.number(DemoGrades.EDITOR, "WhiteKelvin");
    if (!Double.isNaN(kelvin) && !(Math.abs(white / kelvin - 1) < 0.002)) {
      broken.add(f.file() + ": the editor's white " + white + " is not " + kelvin);
    }
    if (!"7".equals(s.text(DemoGrades.EDITOR, "Grain"))
        || s.items(DemoGrades.EDITOR, "Curve").size() != 3) {
      broken.add(f.file() + ": the editor's other properties did not come along");
    }
    if (s.text(DemoGrades.EDITOR, "FrameBox") != null) {
      broken.add(f.file() + ": the reference's crop came along");
    }
  }

  private Result result(Predicate<Carried> which) {
    List<Carried> all = carried.stream().filter(which).toList();
    List<Carried> others = all.stream().filter(c -> !c.isReference()).toList();
    List<Carried> sure = others.stream().filter(c -> !c.doubted).toList();
    List<Carried> raw = sure.stream().filter(c -> !Double.isNaN(c.mired)).toList();
    Set<String> references = new LinkedHashSet<>();
    all.forEach(c -> references.add(c.reference.file()));
    long misses = sure.stream().filter(c -> Math.abs(c.stops) > MISS).count();
    return new Result(
        all.size(),
        references.size(),
        List.copyOf(without),
        List.copyOf(broken),
        share(all.stream().filter(c -> c.doubted).count(), all.size()),
        rms(sure.stream().mapToDouble(c -> c.stops).toArray()),
        share(sure.stream().filter(c -> Math.abs(c.stops) <= TOLERANCE).count(), sure.size()),
        p95(sure.stream().mapToDouble(c -> c.stops).toArray()),
        rms(others.stream().mapToDouble(c -> c.stops).toArray()),
        rms(others.stream().mapToDouble(Carried::copied).toArray()),
        share(misses, all.size()),
        p95(raw.stream().mapToDouble(c -> c.mired).toArray()),
        p95(raw.stream().mapToDouble(Carried::copiedMired).toArray()),
        withinSigmas(others, 1, c -> c.stops, c -> c.sigma),
        withinSigmas(others, 2, c -> c.stops, c -> c.sigma),
        withinSigmas(others, 1, c -> c.mired, c -> c.miredSigma),
        withinSigmas(others, 2, c -> c.mired, c -> c.miredSigma));
  }

  private static double withinSigmas(
      List<Carried> of,
      double times,
      ToDoubleFunction<Carried> error,
      ToDoubleFunction<Carried> sigma) {
    List<Carried> known =
        of.stream()
            .filter(
                c -> !Double.isNaN(error.applyAsDouble(c)) && !Double.isNaN(sigma.applyAsDouble(c)))
            .toList();
    // Half a unit of the last figure that a sidecar shows is no error of its own.
    return share(
        known.stream()
            .filter(
                c -> Math.abs(error.applyAsDouble(c)) <= times * sigma.applyAsDouble(c) + 0.0005)
            .count(),
        known.size());
  }

  private void print(Result r, PrintWriter out) {
    out.printf(
        "%d frames carry a recipe, from %d graded references.%n", r.frames(), r.references());
    if (!r.withoutRecipe().isEmpty()) {
      out.printf(
          "%d frames have no recipe: %s%n", r.withoutRecipe().size(), some(r.withoutRecipe()));
    }
    for (String b : r.broken().subList(0, Math.min(5, r.broken().size()))) {
      out.println("NOT AS IT SHOULD BE  " + b);
    }
    out.printf("%.1f %% of them need eyes.%n%n", 100 * r.doubted());
    out.println("How far frames still are from what was meant, references left out:");
    out.printf("  frames that need no eyes    %s%n", stops(r.rms()) + " rms");
    out.printf("    within 1/6 stop           %.1f %%%n", 100 * r.within());
    out.printf("    95 %% lie within           %s%n", stops(r.p95()));
    out.printf("  all frames                  %s rms%n", stops(r.rmsAll()));
    out.printf("  an edit copied blindly      %s rms%n", stops(r.copyRms()));
    out.printf("  off by more than 1/3 stop and not doubted: %.2f %%%n", 100 * r.unseenMisses());
    if (Double.isNaN(r.miredP95())) {
      out.println("  white balance: no raw frames");
    } else {
      out.printf("  white balance of raw frames, 95 %% lie within %.1f mired%n", r.miredP95());
      out.printf("    one kelvin copied         %.1f mired%n", r.copyMiredP95());
    }
    out.printf(
        "  stated sigma, all frames: %.0f %% within one, %.0f %% within two (68 and 95 are honest)%n",
        100 * r.oneSigma(), 100 * r.twoSigma());
    if (!Double.isNaN(r.miredOneSigma())) {
      out.printf(
          "    of the mired: %.0f %% within one, %.0f %% within two%n",
          100 * r.miredOneSigma(), 100 * r.miredTwoSigma());
    }
    Map<String, Predicate<Carried>> kinds = new TreeMap<>();
    for (Carried c : carried) {
      List<String> t = c.frame.troubles();
      if (t.isEmpty()) {
        kinds.put("everyday", x -> x.frame.troubles().isEmpty());
      }
      t.forEach(word -> kinds.put(word, x -> x.frame.troubles().contains(word)));
    }
    out.printf(
        "%n%-12s %7s %9s %9s %9s %9s %9s%n",
        "trouble", "frames", "doubted", "rms", "1/6", "rms all", "blindly");
    for (Map.Entry<String, Predicate<Carried>> k : kinds.entrySet()) {
      Result t = result(k.getValue());
      out.printf(
          "%-12s %7d %7.1f %% %9.3f %7.1f %% %9.3f %9.3f%n",
          k.getKey(),
          t.frames(),
          100 * t.doubted(),
          t.rms(),
          100 * t.within(),
          t.rmsAll(),
          t.copyRms());
    }
    worst(out);
  }

  private void worst(PrintWriter out) {
    Map<String, List<Carried>> views = new HashMap<>();
    for (Carried c : carried) {
      if (!c.isReference() && !c.doubted && Math.abs(c.stops) > TOLERANCE) {
        views.computeIfAbsent(c.frame.view(), v -> new ArrayList<>()).add(c);
      }
    }
    if (views.isEmpty()) {
      return;
    }
    out.printf("%nOutside 1/6 stop and not doubted, by light:%n");
    views.entrySet().stream()
        .sorted(
            Comparator.comparingInt((Map.Entry<String, List<Carried>> e) -> -e.getValue().size())
                .thenComparing(Map.Entry::getKey))
        .limit(6)
        .forEach(
            e -> {
              Carried w =
                  e.getValue().stream()
                      .max(Comparator.comparingDouble(c -> Math.abs(c.stops)))
                      .orElseThrow();
              out.printf(
                  "  %-36s %4d, worst %+.2f stop: %s%n",
                  e.getKey(), e.getValue().size(), w.stops, w.frame.file());
            });
  }

  private static String some(List<String> names) {
    return names.size() <= 4
        ? String.join(", ", names)
        : String.join(", ", names.subList(0, 4)) + ", ...";
  }

  private static String stops(double v) {
    return Double.isNaN(v) ? "none" : String.format(java.util.Locale.ROOT, "%.3f stop", v);
  }

  private static double share(long n, int of) {
    return of == 0 ? Double.NaN : n / (double) of;
  }

  static double rms(double[] v) {
    double sum = 0;
    for (double x : v) {
      sum += x * x;
    }
    return v.length == 0 ? Double.NaN : Math.sqrt(sum / v.length);
  }

  /** The smallest value that at least 95 % of the magnitudes do not exceed. */
  static double p95(double[] v) {
    double[] sorted = java.util.Arrays.stream(v).map(Math::abs).sorted().toArray();
    return sorted.length == 0
        ? Double.NaN
        : sorted[Math.min(sorted.length, (int) Math.ceil(0.95 * sorted.length)) - 1];
  }
}
