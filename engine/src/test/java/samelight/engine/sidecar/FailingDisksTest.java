package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystem;
import java.nio.file.FileSystemException;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.Disk;
import samelight.engine.testing.SmallDrive;

/** Disks that are full, read-only or gone, files that others hold open or change. */
@SuppressWarnings("try") // a mounted drive is there to be unmounted
class FailingDisksTest {
  @TempDir Path shoot;

  private Fixture graded(String... files) {
    Fixture f = Fixture.of(shoot, files);
    f.write(
        files[0].substring(0, files[0].lastIndexOf('.')) + ".xmp",
        Fixture.sidecar("+0.35", "5000"));
    return f;
  }

  /** Passes on, but some operations fail. */
  @SuppressWarnings("UnusedVariable") // parameters are for those that override
  private static class FailingDisk implements Disk {
    final AtomicInteger failures = new AtomicInteger();

    @Nullable IOException writing(Path file, int bytes) {
      return null;
    }

    @Nullable IOException renaming(Path target) {
      return null;
    }

    @Nullable IOException any() {
      return null;
    }

    private void fail(@Nullable IOException e) throws IOException {
      IOException other = e == null ? any() : e;
      if (other != null) {
        failures.incrementAndGet();
        throw other;
      }
    }

    @Override
    public void writeNew(Path file, byte[] bytes, @Nullable Path like) throws IOException {
      fail(writing(file, bytes.length));
      REAL.writeNew(file, bytes, like);
    }

    @Override
    public void append(Path file, byte[] bytes) throws IOException {
      fail(writing(file, bytes.length));
      REAL.append(file, bytes);
    }

    @Override
    public void rename(Path source, Path target) throws IOException {
      fail(renaming(target));
      REAL.rename(source, target);
    }

    @Override
    public void delete(Path file) throws IOException {
      fail(null);
      REAL.delete(file);
    }

    @Override
    public void makeFolders(Path folder) throws IOException {
      fail(null);
      REAL.makeFolders(folder);
    }

    @Override
    public void forceFolder(Path folder) throws IOException {
      fail(null);
      REAL.forceFolder(folder);
    }
  }

  @Test
  void carry_diskFull_rollsBackAndSaysSo() {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "F_3.DNG", "F_4.DNG");
    Map<String, String> before = f.snapshot();
    long room = used() + 5_000;
    FailingDisk disk =
        new FailingDisk() {
          @Override
          @Nullable IOException writing(Path file, int bytes) {
            return used() + bytes <= room ? null : new IOException("No space left on device");
          }
        };
    assertThatThrownBy(() -> f.carry(disk))
        .isInstanceOf(CouldNotWriteException.class)
        .hasMessageContaining("No space left on device")
        .hasMessageContaining("Nothing was changed")
        .hasMessageContaining("Free some space");
    assertThat(f.snapshot()).isEqualTo(before);
    assertThat(f.carry().count(Outcome.WRITTEN)).isEqualTo(4);
  }

  private long used() {
    try (Stream<Path> all = Files.walk(shoot)) {
      long bytes = 0;
      for (Path p : all.toList()) {
        bytes += Files.isRegularFile(p) ? Files.size(p) : 0;
      }
      return bytes;
    } catch (NoSuchFileException | UncheckedIOException e) {
      return used(); // another thread just renamed one
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Test
  @EnabledOnOs(OS.LINUX)
  void carry_reallyFullDisk_rollsBack() throws Exception {
    Path mount = Files.createDirectory(shoot.resolve("small"));
    try (SmallDrive ignored = SmallDrive.mount(mount, "1m")) {
      Path small = mount.resolve("shoot");
      String[] files = new String[80];
      for (int i = 0; i < files.length; i++) {
        files[i] = "F_" + i + ".DNG";
      }
      Fixture f = new Fixture(small).group("g1", files);
      f.maps.add(Fixture.map());
      f.write("F_0.xmp", Fixture.sidecar("+0.35", "5000"));
      Map<String, String> before = f.snapshot();
      Files.write(
          mount.resolve("ballast"), new byte[(int) mount.toFile().getUsableSpace() - 150_000]);
      assertThatThrownBy(f::carry)
          .isInstanceOf(CouldNotWriteException.class)
          .hasMessageContaining("No space left on device");
      try (SidecarSession session = SidecarSession.open(small)) {
        assertThat(session.shoot()).isNotNull();
      }
      assertThat(f.snapshot()).isEqualTo(before);
    }
  }

  @Test
  void carry_driveVanishes_isRecoveredByTheNextCommand() {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "F_3.DNG", "F_4.DNG");
    Map<String, String> before = f.snapshot();
    AtomicInteger renames = new AtomicInteger();
    FailingDisk disk =
        new FailingDisk() {
          @Override
          @Nullable IOException renaming(Path target) {
            renames.incrementAndGet();
            return null;
          }

          @Override
          @Nullable IOException any() {
            return renames.get() > 2 ? new NoSuchFileException("gone") : null;
          }
        };
    assertThatThrownBy(() -> f.carry(disk))
        .isInstanceOf(CouldNotWriteException.class)
        .hasMessageContaining("the next command will bring back the old content");
    try (SidecarSession session = SidecarSession.open(shoot)) {
      assertThat(session.recovered().carries()).containsExactly("0001");
    }
    assertThat(f.snapshot()).isEqualTo(before);
  }

  @Test
  void carry_fileHeldOpen_isTriedAgain() {
    Fixture f = graded("F_1.DNG", "F_2.DNG");
    AtomicInteger tries = new AtomicInteger();
    FailingDisk disk =
        new FailingDisk() {
          @Override
          @Nullable IOException renaming(Path target) {
            boolean held = target.endsWith("F_2.xmp") && tries.incrementAndGet() < 4;
            return held
                ? new FileSystemException(target.toString(), null, "used by another process")
                : null;
          }
        };
    assertThat(f.carry(disk).count(Outcome.WRITTEN)).isEqualTo(2);
    assertThat(disk.failures.get()).isEqualTo(3);
  }

  @Test
  void carry_fileThatStaysHeld_isSaidAndTheOthersAreWritten() {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "F_3.DNG");
    FailingDisk disk =
        new FailingDisk() {
          @Override
          @Nullable IOException renaming(Path target) {
            return target.endsWith("F_2.xmp") ? new AccessDeniedException(target.toString()) : null;
          }
        };
    CarryResult r = f.carry(disk);
    assertThat(r.counts()).isEqualTo(Map.of(Outcome.WRITTEN, 2, Outcome.COULD_NOT_WRITE, 1));
    assertThat(Files.exists(shoot.resolve("F_2.xmp"), LinkOption.NOFOLLOW_LINKS)).isFalse();
    assertThat(f.revert().counts())
        .isEqualTo(Map.of(RevertResult.What.RESTORED, 1, RevertResult.What.REMOVED, 1));
  }

  @Test
  void carry_sidecarChangedBetweenReadingAndWriting_isLeftAlone() {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "F_3.DNG");
    FailingDisk disk =
        new FailingDisk() {
          @Override
          @Nullable IOException writing(Path file, int bytes) {
            if (file.endsWith("0001.jsonl") && bytes > 200) {
              f.write("F_2.xmp", "the editor's, just now");
            }
            return null;
          }
        };
    CarryResult r = f.carry(disk);
    assertThat(r.outcomes().get(1).outcome()).isEqualTo(Outcome.CHANGED_MEANWHILE);
    assertThat(r.attention()).isTrue();
    assertThat(f.read("F_2.xmp")).isEqualTo("the editor's, just now");
    assertThat(f.revert().attention()).isFalse();
    assertThat(f.read("F_2.xmp")).isEqualTo("the editor's, just now");
  }

  @Test
  void carry_newMapAndAnotherProgramRewritesTheFirst_writesNoOther() {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "F_3.DNG");
    FailingDisk disk =
        new FailingDisk() {
          @Override
          public void forceFolder(Path folder) throws IOException {
            super.forceFolder(folder);
            if (Files.exists(shoot.resolve("F_2.xmp"))) {
              f.write("F_2.xmp", "the editor's, at once");
            }
          }
        };
    CarryResult r = f.carry(disk);
    assertThat(r.outcomes())
        .extracting(FrameOutcome::outcome)
        .containsExactly(Outcome.NOT_CARRIED, Outcome.CHANGED_MEANWHILE, Outcome.NOT_CARRIED);
    assertThat(r.attention()).isTrue();
    assertThat(shoot.resolve("F_3.xmp")).doesNotExist();
    assertThat(f.read("F_2.xmp")).isEqualTo("the editor's, at once");
  }

  @Test
  void forceFolder_whereTheSystemHasNoSuchThing_isNoFailure() throws IOException {
    Path zip = shoot.resolve("files.zip");
    try (FileSystem files = FileSystems.newFileSystem(zip, Map.of("create", "true"))) {
      Path folder = Files.createDirectory(files.getPath("/folder"));
      assertThatThrownBy(() -> FileChannel.open(folder).close()).isInstanceOf(IOException.class);
      Disk.REAL.forceFolder(folder);
      assertThatThrownBy(() -> Disk.REAL.forceFolder(files.getPath("/none")))
          .isInstanceOf(IOException.class);
    }
  }

  /** An administrator may write anywhere: then a process without that privilege carries. */
  @Test
  @DisabledOnOs(value = OS.WINDOWS, disabledReason = "no such permissions there")
  void carry_readOnlyFolder_isSaid() throws Exception {
    Fixture f = graded("a/F_1.DNG", "b/F_2.DNG");
    f.write("b/F_2.xmp", "<rdf:RDF xmlns:rdf='" + XmpValue.RDF + "'><rdf:Description/></rdf:RDF>");
    Path b = shoot.resolve("b");
    String before = f.read("b/F_2.xmp");
    Files.setPosixFilePermissions(b, PosixFilePermissions.fromString("r-xr-xr-x"));
    try {
      assertThat(Files.isWritable(b) ? unprivileged() : Unprivileged.carry(f))
          .contains("WRITTEN a/F_1.DNG ;")
          .contains("COULD_NOT_WRITE b/F_2.DNG access denied");
    } finally {
      Files.setPosixFilePermissions(b, PosixFilePermissions.fromString("rwxr-xr-x"));
    }
    assertThat(f.read("b/F_2.xmp")).isEqualTo(before);
    assertThat(f.read("a/F_1.xmp")).contains("slr:Exposure");
    f.revert();
    assertThat(f.read("a/F_1.xmp")).isEqualTo(Fixture.sidecar("+0.35", "5000"));
  }

  private String unprivileged() throws Exception {
    Process p;
    try {
      p =
          new ProcessBuilder(
                  "setpriv",
                  "--bounding-set=-dac_override,-dac_read_search",
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                  "-cp",
                  System.getProperty("java.class.path"),
                  Unprivileged.class.getName(),
                  shoot.toString())
              .redirectErrorStream(true)
              .start();
    } catch (IOException e) {
      assumeTrue(false, "an administrator may write anywhere, and setpriv isn't here");
      throw e;
    }
    String said = new String(p.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(p.waitFor()).as(said).isZero();
    return said;
  }

  /** The process that may not write to every folder. */
  static final class Unprivileged {
    private Unprivileged() {}

    public static void main(String[] args) {
      System.out.println(carry(Fixture.of(Path.of(args[0]), "a/F_1.DNG", "b/F_2.DNG")));
    }

    static String carry(Fixture f) {
      StringBuilder said = new StringBuilder();
      for (FrameOutcome o : f.carry().outcomes()) {
        said.append(o.outcome() + " " + o.frame() + " " + o.detail() + ";");
      }
      return said.toString();
    }
  }
}
