package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import java.util.zip.Deflater;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootPaths;

/**
 * A real process is killed (SIGKILL) amid its writes; the journal proves that it was amid them. 100
 * kills, or as many as the system property {@code samelight.kills} says.
 *
 * <p>Each kill costs a Java process. Their classes come from a class-data archive that the test
 * makes first, which leaves a third of the time; where the JDK makes none it only takes longer.
 */
@DisabledOnOs(value = OS.WINDOWS, disabledReason = "kills with a signal")
class KillTest {
  private static final int FRAMES = 60;
  private static final int MOST_TRIES = 20;
  private static final int LANES = 2;

  @TempDir static Path temp;

  private static String classPath = System.getProperty("java.class.path");
  private static Path archive = Path.of("none");

  @BeforeAll
  static void archiveClasses() throws IOException, InterruptedException {
    List<String> jars = new ArrayList<>();
    for (String entry : classPath.split(File.pathSeparator, -1)) {
      Path from = Path.of(entry);
      jars.add(Files.isDirectory(from) ? jar(from, jars.size()).toString() : entry);
    }
    classPath = String.join(File.pathSeparator, jars);
    archive = temp.resolve("classes.jsa");
    Path folder = temp.resolve("trial");
    shoot(folder, true);
    Process p =
        new ProcessBuilder(command("-XX:ArchiveClassesAtExit=" + archive, folder, "both"))
            .redirectErrorStream(true)
            .start();
    String said = new String(p.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(p.waitFor()).as("%s", said).isZero();
  }

  /** An archive takes classes from jars only. */
  private static Path jar(Path folder, int number) throws IOException {
    Path jar = temp.resolve("classes-" + number + ".jar");
    try (ZipOutputStream out = new ZipOutputStream(Files.newOutputStream(jar));
        Stream<Path> files = Files.walk(folder)) {
      out.setLevel(Deflater.NO_COMPRESSION);
      for (Path f : files.filter(Files::isRegularFile).toList()) {
        out.putNextEntry(
            new ZipEntry(folder.relativize(f).toString().replace(File.separatorChar, '/')));
        Files.copy(f, out);
      }
    }
    return jar;
  }

  private static List<String> command(String option, Path shoot, String what) {
    return List.of(
        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
        "-XX:TieredStopAtLevel=1",
        "-XX:+UseSerialGC",
        option,
        "-cp",
        classPath,
        Victim.class.getName(),
        shoot.toString(),
        what);
  }

  private static Fixture shoot(Path folder, boolean fresh) {
    String[] files = new String[FRAMES];
    for (int i = 0; i < FRAMES; i++) {
      files[i] = (i % 3 == 0 ? "body-a" : "body-b") + "/F_" + i + ".DNG";
    }
    Fixture f = Fixture.of(folder, files);
    if (!fresh) {
      return f;
    }
    f.write("body-a/F_0.xmp", Fixture.sidecar("+0.35", "5000"));
    for (int i = 1; i < FRAMES; i += 2) {
      f.write(
          files[i].replace(".DNG", ".xmp"),
          "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
              + "<rdf:Description xmlns:q='http://q.example/' q:Own='"
              + i
              + "'/></rdf:RDF>");
    }
    return f;
  }

  /** The process that is killed. */
  static final class Victim {
    private Victim() {}

    public static void main(String[] args) {
      Fixture f = shoot(Path.of(args[0]), false);
      try (SidecarSession session = SidecarSession.open(f.shoot)) {
        Progress progress =
            (done, total) -> {
              System.out.println(done);
              System.out.flush();
            };
        if (!args[1].equals("revert")) {
          Carry.run(session, CarryPlan.of(f.request()), progress);
        }
        if (!args[1].equals("carry")) {
          Revert.last(session, false, progress);
        }
      }
    }
  }

  private static int kill(Path shoot, String what, int atProgress, int micros)
      throws IOException, InterruptedException {
    Process p =
        new ProcessBuilder(command("-XX:SharedArchiveFile=" + archive, shoot, what))
            .redirectErrorStream(true)
            .start();
    int seen = 0;
    StringBuilder other = new StringBuilder();
    try (BufferedReader out =
        new BufferedReader(new InputStreamReader(p.getInputStream(), StandardCharsets.UTF_8))) {
      for (String line = out.readLine(); line != null; line = out.readLine()) {
        if (line.matches("\\d+")) {
          seen = Integer.parseInt(line);
        } else {
          other.append(line).append('\n');
        }
        if (seen >= atProgress) {
          TimeUnit.MICROSECONDS.sleep(micros);
          break;
        }
      }
      p.destroyForcibly();
      p.waitFor();
    }
    assertThat(seen).as("%s", other).isPositive();
    return seen;
  }

  /**
   * What became of some kills.
   *
   * @param runs processes begun
   * @param amid kills amid the writes
   * @param strays temporary files that they left, all cleared
   */
  private record Tally(int runs, int amid, int strays) {}

  @Test
  void kill_amidTheWrites_leavesWholeSidecarsAndRevertRestoresAll() throws Exception {
    int wanted = Integer.getInteger("samelight.kills", 100);
    List<Callable<Tally>> lanes = new ArrayList<>();
    for (int i = 0; i < LANES; i++) {
      int lane = i;
      int share = wanted * (lane + 1) / LANES - wanted * lane / LANES;
      lanes.add(() -> killAgainAndAgain(temp.resolve("a shoot " + lane), share, 20260620 + lane));
    }
    ExecutorService pool = Executors.newFixedThreadPool(LANES);
    int runs = 0;
    int amid = 0;
    int strays = 0;
    try {
      for (Future<Tally> lane : pool.invokeAll(lanes)) {
        runs += lane.get().runs();
        amid += lane.get().amid();
        strays += lane.get().strays();
      }
    } finally {
      pool.shutdownNow();
    }
    assertThat(amid).isEqualTo(wanted);
    System.out.printf(
        "killed %d times amid the writes of %d runs; %d temporary files were left and cleared%n",
        amid, runs, strays);
  }

  private static Tally killAgainAndAgain(Path folder, int wanted, long seed) throws Exception {
    Random random = new Random(seed);
    Fixture f = shoot(folder, true);
    Map<String, String> before = f.snapshot();
    int amid = 0;
    int tries = 0;
    int strays = 0;
    while (amid < wanted) {
      assertThat(tries++).as("kills amid the writes: %d", amid).isLessThan(2 * wanted + MOST_TRIES);
      boolean reverting = random.nextInt(3) == 0;
      if (reverting) {
        f.carry();
      }
      kill(
          folder,
          reverting ? "revert" : "carry",
          1 + random.nextInt(FRAMES - 10),
          random.nextInt(3000));
      boolean unfinished = !new JournalStore(ShootPaths.of(folder)).unfinished().isEmpty();
      int written = 0;
      for (Map.Entry<String, String> e : f.snapshot().entrySet()) {
        if (DurableFile.isStray(String.valueOf(Path.of(e.getKey()).getFileName()))) {
          strays++;
        } else if (e.getKey().endsWith(".xmp") && !e.getValue().equals(before.get(e.getKey()))) {
          assertThat(f.slr(e.getKey(), "Exposure")).as(e.getKey()).isNotNull();
          written++;
        }
      }
      if (unfinished && written > 0 && written < FRAMES) {
        amid++;
      }
      f.revert();
      assertThat(f.snapshot()).as("after kill %d", tries).isEqualTo(before);
      if (random.nextInt(4) == 0) {
        forget(folder.resolve("samelight/journal")); // every process reads all that are there
      }
    }
    assertThat(folder.resolve("samelight/lock")).exists();
    return new Tally(tries, amid, strays);
  }

  private static void forget(Path journals) throws IOException {
    try (Stream<Path> files = Files.list(journals)) {
      for (Path p : files.toList()) {
        Files.delete(p);
      }
    }
  }
}
