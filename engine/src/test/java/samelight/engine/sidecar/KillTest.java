package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootPaths;

/**
 * A real process is killed (SIGKILL) amid its writes; the journal proves that it was amid them. 100
 * kills, or as many as the system property {@code samelight.kills} says.
 */
@DisabledOnOs(value = OS.WINDOWS, disabledReason = "kills with a signal")
class KillTest {
  private static final int FRAMES = 120;
  private static final int MOST_TRIES = 20;

  @TempDir Path temp;

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
        if (args[1].equals("carry")) {
          Carry.run(session, CarryPlan.of(f.request()), progress);
        } else {
          Revert.last(session, false, progress);
        }
      }
    }
  }

  private static int kill(Path shoot, String what, int atProgress, int micros)
      throws IOException, InterruptedException {
    Process p =
        new ProcessBuilder(
                List.of(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                    "-XX:TieredStopAtLevel=1",
                    "-XX:+UseSerialGC",
                    "-Xshare:auto",
                    "-cp",
                    System.getProperty("java.class.path"),
                    Victim.class.getName(),
                    shoot.toString(),
                    what))
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

  @Test
  void kill_amidTheWrites_leavesWholeSidecarsAndRevertRestoresAll() throws Exception {
    int wanted = Integer.getInteger("samelight.kills", 100);
    Random random = new Random(20260620);
    Path folder = temp.resolve("a shoot");
    Fixture f = shoot(folder, true);
    Map<String, String> before = f.snapshot();
    int amid = 0;
    int tries = 0;
    int torn = 0;
    while (amid < wanted) {
      assertThat(tries++).as("kills amid the writes: %d", amid).isLessThan(wanted + MOST_TRIES);
      boolean reverting = random.nextInt(3) == 0;
      if (reverting) {
        f.carry();
      }
      kill(
          folder,
          reverting ? "revert" : "carry",
          1 + random.nextInt(FRAMES - 20),
          random.nextInt(3000));
      boolean unfinished = !new JournalStore(ShootPaths.of(folder)).unfinished().isEmpty();
      int written = 0;
      for (Map.Entry<String, String> e : f.snapshot().entrySet()) {
        if (DurableFile.isStray(String.valueOf(Path.of(e.getKey()).getFileName()))) {
          torn++;
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
    }
    System.out.printf(
        "killed %d times amid the writes of %d runs; %d temporary files were left and cleared%n",
        amid, tries, torn);
    assertThat(Files.exists(folder.resolve("samelight/lock"))).isTrue();
  }
}
