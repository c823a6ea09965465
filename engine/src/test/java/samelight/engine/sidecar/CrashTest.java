package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.files.DurableFile;

/** The power fails at every boundary in turn. */
class CrashTest {
  private static final int ENOUGH = 500;

  @TempDir Path temp;

  private Fixture shoot(int number) {
    Fixture f = Fixture.of(temp.resolve("s" + number), "a/F_1.DNG", "a/F_2.DNG", "b/F_3.DNG");
    f.write("a/F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.write(
        "b/F_3.xmp",
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
            + "<rdf:Description xmlns:q='http://q.example/' q:Own='yes'/></rdf:RDF>");
    return f;
  }

  private static void assertOldOrNew(Fixture f, Map<String, String> before) {
    f.snapshot()
        .forEach(
            (file, hash) -> {
              if (file.endsWith(".xmp") && !hash.equals(before.get(file))) {
                assertThat(f.slr(file, "Exposure")).as(file).isNotNull();
              }
            });
  }

  private static void assertNoStrays(Fixture f) throws IOException {
    try (Stream<Path> all = Files.walk(f.shoot)) {
      assertThat(all.filter(p -> DurableFile.isStray(String.valueOf(p.getFileName())))).isEmpty();
    }
  }

  private static Map<String, String> withoutStrays(Map<String, String> snapshot) {
    snapshot.keySet().removeIf(p -> p.endsWith(".tmp"));
    return snapshot;
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void carry_powerFailsAnywhere_everySidecarIsWholeAndRevertRestoresAll(boolean lose)
      throws IOException {
    int boundary = 0;
    for (; boundary < ENOUGH; boundary++) {
      Fixture f = shoot(boundary);
      Map<String, String> before = f.snapshot();
      CrashDisk disk = new CrashDisk(boundary, lose);
      try {
        f.carry(disk);
      } catch (CrashDisk.PowerFailure expected) {
        assertThat(disk.failed()).isTrue();
      }
      assertOldOrNew(f, before);
      RevertResult r = f.revert();
      assertThat(f.snapshot()).as("boundary %d: %s", boundary, r).isEqualTo(before);
      assertNoStrays(f);
      assertThat(f.revert()).isEqualTo(RevertResult.NOTHING);
      if (!disk.failed()) {
        break;
      }
    }
    assertThat(boundary).isBetween(20, ENOUGH - 1);
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void carry_afterAPowerFailure_carriesAll(boolean lose) {
    for (int boundary = 0; boundary < ENOUGH; boundary += 3) {
      Fixture f = shoot(boundary);
      CrashDisk disk = new CrashDisk(boundary, lose);
      try {
        f.carry(disk);
      } catch (CrashDisk.PowerFailure expected) {
        assertThat(disk.failed()).isTrue();
      }
      f.carry();
      for (String sidecar : new String[] {"a/F_1.xmp", "a/F_2.xmp", "b/F_3.xmp"}) {
        assertThat(f.slr(sidecar, "Exposure")).isNotNull();
      }
      if (!disk.failed()) {
        break;
      }
    }
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void revert_powerFailsAnywhere_nextRevertRestoresAll(boolean lose) throws IOException {
    int boundary = 0;
    for (; boundary < ENOUGH; boundary++) {
      Fixture f = shoot(boundary);
      Map<String, String> before = f.snapshot();
      f.carry();
      CrashDisk disk = new CrashDisk(boundary, lose);
      try (SidecarSession session = SidecarSession.open(f.shoot, disk)) {
        Revert.last(session, false, Progress.NONE);
      } catch (CrashDisk.PowerFailure expected) {
        assertThat(disk.failed()).isTrue();
      }
      assertOldOrNew(f, before);
      f.revert();
      assertThat(f.snapshot()).as("boundary %d", boundary).isEqualTo(before);
      assertNoStrays(f);
      if (!disk.failed()) {
        break;
      }
    }
    assertThat(boundary).isBetween(20, ENOUGH - 1);
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void recovery_powerFailsAnywhereAgain_stillRestoresAll(boolean lose) throws IOException {
    int boundary = 0;
    for (; boundary < ENOUGH; boundary++) {
      Fixture f = shoot(boundary);
      Map<String, String> before = f.snapshot();
      try {
        f.carry(new CrashDisk(26, false)); // amid the writes
      } catch (CrashDisk.PowerFailure expected) {
        assertOldOrNew(f, before);
      }
      CrashDisk disk = new CrashDisk(boundary, lose);
      try (SidecarSession session = SidecarSession.open(f.shoot, disk)) {
        assertThat(session.recovered().carries()).hasSize(1);
      } catch (CrashDisk.PowerFailure expected) {
        assertThat(disk.failed()).isTrue();
      }
      try (SidecarSession session = SidecarSession.open(f.shoot)) {
        assertThat(session.shoot()).isNotNull();
      }
      assertThat(withoutStrays(f.snapshot())).as("boundary %d", boundary).isEqualTo(before);
      if (!disk.failed()) {
        break;
      }
    }
    assertThat(boundary).isBetween(5, ENOUGH - 1);
  }
}
