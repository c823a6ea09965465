package samelight.engine.metadata;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Runs Jazzer on each of the {@link FuzzTargets} in turn, each in a process of its own with a small
 * heap, and counts executions. Seeds are the committed samples and what was found before; what is
 * found now lies in {@code target/fuzz/TARGET}, to be fixed and then committed among the test
 * resources under {@code fuzz/TARGET}.
 *
 * <p>{@code mvn -q -pl engine -Pfuzz test-compile exec:exec} runs for a minute in all; {@code
 * -Dfuzz.seconds=1800} longer, {@code -Dfuzz.targets=Boxes,Jpegs} some of them.
 */
public final class FuzzRun {
  private static final Pattern UNITS = Pattern.compile("stat::number_of_executed_units:\\s*(\\d+)");

  private FuzzRun() {}

  /** Arguments: seconds in all, and names of targets with commas between (default: all). */
  public static void main(String[] args) throws Exception {
    int seconds = Integer.parseInt(args[0]);
    List<String> targets =
        args.length > 1 && !args[1].isBlank()
            ? List.of(args[1].split(",", -1))
            : List.copyOf(new TreeSet<>(FuzzTargets.ALL.keySet()));
    boolean clean = true;
    long total = 0;
    for (String target : targets) {
      if (!FuzzTargets.ALL.containsKey(target)) {
        throw new IllegalArgumentException("no target " + target + " among " + FuzzTargets.ALL);
      }
      Path folder = Files.createDirectories(Path.of("target", "fuzz", target));
      Path corpus = Files.createDirectories(folder.resolve("corpus"));
      FuzzSeeds.write(target, Files.createDirectories(folder.resolve("seeds")));
      long started = System.nanoTime();
      List<String> tail = new ArrayList<>();
      Process p = jazzer(target, folder, corpus, Math.max(1, seconds / targets.size()));
      long units = units(p, tail);
      int status = p.waitFor();
      total += units;
      System.out.printf(
          "%-8s %,12d executions in %d s%s%n",
          target, units, (System.nanoTime() - started) / 1_000_000_000, status == 0 ? "" : ", BAD");
      if (status != 0) {
        clean = false;
        tail.forEach(System.out::println);
      }
    }
    System.out.printf("%-8s %,12d executions%n", "all", total);
    if (!clean) {
      System.exit(1);
    }
  }

  private static Process jazzer(String target, Path folder, Path corpus, int seconds)
      throws IOException {
    List<String> command =
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx512m",
            "-XX:+UseSerialGC",
            "-cp",
            System.getProperty("java.class.path"),
            "com.code_intelligence.jazzer.Jazzer",
            "--target_class=" + FuzzTargets.class.getName() + "$" + target,
            "--instrumentation_includes=samelight.engine.metadata.**:samelight.engine.hevc.**:com.drew.**",
            "--custom_hook_excludes=**",
            "--keep_going=8",
            "--reproducer_path=" + folder,
            "-artifact_prefix=" + folder + "/",
            "-max_total_time=" + seconds,
            "-timeout=10",
            "-rss_limit_mb=2048",
            "-print_final_stats=1",
            corpus.toString(),
            folder.resolve("seeds").toString());
    return new ProcessBuilder(command).redirectErrorStream(true).start();
  }

  private static long units(Process p, List<String> tail) throws IOException {
    long units = 0;
    try (BufferedReader r =
        new BufferedReader(new InputStreamReader(p.getInputStream(), StandardCharsets.UTF_8))) {
      String line = r.readLine();
      while (line != null) {
        Matcher m = UNITS.matcher(line);
        if (m.find()) {
          units = Long.parseLong(m.group(1));
        }
        tail.add(line);
        if (tail.size() > 60) {
          tail.remove(0);
        }
        line = r.readLine();
      }
    }
    return units;
  }
}
