package samelight.engine.copies;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.DurableFile;

/**
 * A real process is killed (SIGKILL) at random instants while it copies, reads back or writes its
 * lists. 15 kills, or as many as the system property {@code samelight.kills} says. After each,
 * every file under a final name is whole and the card is as it was; the next run goes on, and when
 * it is let through, all is there and right.
 */
@DisabledOnOs(value = OS.WINDOWS, disabledReason = "kills with a signal")
class SecureKillTest {
  private static final int FILES = 150;
  private static final int LET_THROUGH_EVERY = 6;

  @TempDir Path root;

  /** The process that is killed. */
  static final class Victim {
    private Victim() {}

    public static void main(String[] args) throws IOException {
      Path root = Path.of(args[0]);
      System.out.println("begun");
      System.out.flush();
      Secure.run(Cards.request(root, List.of(root.resolve("card")), "a", "b"), CopyProgress.NONE);
      System.out.println("ended");
      System.out.flush();
    }
  }

  private boolean kill(long afterMillis) throws IOException, InterruptedException {
    Process p =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-XX:TieredStopAtLevel=1",
                "-XX:+UseSerialGC",
                "-cp",
                System.getProperty("java.class.path"),
                Victim.class.getName(),
                root.toString())
            .redirectErrorStream(true)
            .start();
    StringBuilder said = new StringBuilder();
    try (BufferedReader out =
        new BufferedReader(new InputStreamReader(p.getInputStream(), StandardCharsets.UTF_8))) {
      String line = out.readLine();
      while (line != null && !line.equals("begun")) {
        said.append(line).append('\n');
        line = out.readLine();
      }
      assertThat(line).as("%s", said).isEqualTo("begun");
      boolean ended = p.waitFor(afterMillis, TimeUnit.MILLISECONDS);
      p.destroyForcibly();
      p.waitFor();
      return !ended;
    }
  }

  @Test
  void kill_atRandomInstants_losesNoByteAndNamesNoHalfFile() throws Exception {
    int wanted = Integer.getInteger("samelight.kills", 15);
    Path card = Cards.card(root.resolve("card"), Cards.ONE, 1000, FILES, 150_000);
    Map<String, String> before = Cards.snapshot(card);
    Map<String, Path> sources = new HashMap<>();
    try (Stream<Path> all = Files.walk(card)) {
      all.filter(Files::isRegularFile).forEach(p -> sources.put(p.getFileName().toString(), p));
    }
    Random random = new Random(20260606);
    long began = System.nanoTime();
    Cards.secure(root, card, "warm");
    Cards.secure(root, card, "a", "b");
    long longest = Math.max(400, 2 * (System.nanoTime() - began) / 1_000_000);
    wipe();
    int kills = 0;
    int amid = 0;
    int strays = 0;
    for (int run = 1; kills < wanted; run++) {
      assertThat(run).as("runs for %d kills", kills).isLessThan(4 * wanted + 20);
      if (!kill(random.nextLong(longest))) {
        wipe(); // it was done before the kill
        continue;
      }
      kills++;
      int whole = 0;
      for (Path p : files(root.resolve("a"), root.resolve("b"))) {
        String name = p.getFileName().toString();
        if (DurableFile.isStray(name)) {
          strays++;
        } else if (name.endsWith(".JPG")) {
          assertThat(Files.mismatch(p, sources.get(name))).as("%s", p).isEqualTo(-1);
          whole++;
        }
      }
      if (whole > 0 && whole < 2 * FILES) {
        amid++;
      }
      assertThat(Cards.snapshot(card)).isEqualTo(before);
      if (kills % LET_THROUGH_EVERY == 0) {
        SecureResult result = Cards.secure(root, card, "a", "b");
        assertThat(result.cards().get(0).mayBePutAway()).isTrue();
        for (String to : new String[] {"a", "b"}) {
          AuditResult audit = Cards.audit(root, root.resolve(to));
          assertThat(audit.differs() || audit.unreadable()).as("%s", audit).isFalse();
          assertThat(audit.shoots().get(0).right()).isEqualTo(FILES);
        }
        assertThat(files(root.resolve("a"), root.resolve("b")))
            .noneMatch(p -> DurableFile.isStray(p.getFileName().toString()));
        wipe();
      }
    }
    System.out.printf(
        "killed %d times, %d of them with some files named and others not; %d temporary files were"
            + " left and cleared%n",
        kills, amid, strays);
  }

  private static List<Path> files(Path... folders) throws IOException {
    List<Path> out = new java.util.ArrayList<>();
    for (Path folder : folders) {
      if (Files.exists(folder)) {
        try (Stream<Path> all = Files.walk(folder)) {
          all.filter(Files::isRegularFile).forEach(out::add);
        }
      }
    }
    return out;
  }

  private void wipe() throws IOException {
    for (String to : new String[] {"a", "b", "warm"}) {
      Path folder = root.resolve(to);
      if (Files.exists(folder)) {
        try (Stream<Path> all = Files.walk(folder)) {
          for (Path p : all.sorted(Comparator.reverseOrder()).toList()) {
            Files.delete(p);
          }
        }
      }
    }
  }
}
