package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assumptions.assumeThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

/** The built folder, copied to a place with a difficult name and run as a user runs it. */
class LauncherIT {
  private static final Path BUILT =
      Path.of(System.getProperty("samelight.dist", "target/samelight")).toAbsolutePath();
  private static final Path JAVA_HOME = Path.of(System.getProperty("java.home"));
  private static final boolean WINDOWS = OS.WINDOWS.isCurrentOs();
  private static final int NOBODY = 65_534;

  @TempDir Path folder;
  private Path home;

  @BeforeEach
  void copyBuiltFolder() throws IOException {
    assertThat(BUILT.resolve("lib/samelight.jar")).as("built by the package phase").exists();
    home = folder.resolve("sun & moon (1)/same light");
    Shoots.copy(BUILT, home);
  }

  @AfterEach
  void letAllBeDeleted() throws IOException {
    if (!WINDOWS) {
      try (Stream<Path> all = Files.walk(folder)) {
        for (Path p : all.filter(Files::isDirectory).toList()) {
          Files.setPosixFilePermissions(p, PosixFilePermissions.fromString("rwxr-xr-x"));
        }
      }
    }
  }

  private Path launcher() {
    return home.resolve("bin").resolve(WINDOWS ? "samelight.bat" : "samelight");
  }

  private record Ran(int status, String out, String err) {
    Ran is(ExitStatus expected) {
      assertThat(status).as("%s%n%s", out, err).isEqualTo(expected.code());
      return this;
    }
  }

  private Ran run(Map<String, String> environment, Object... command)
      throws IOException, InterruptedException {
    List<String> words = new ArrayList<>();
    for (Object word : command) {
      words.add(word.toString());
    }
    Path out = Files.createTempFile(folder, "out", ".txt");
    Path err = Files.createTempFile(folder, "err", ".txt");
    ProcessBuilder builder =
        new ProcessBuilder(words)
            .directory(folder.toFile())
            .redirectOutput(out.toFile())
            .redirectError(err.toFile());
    builder.environment().put("JAVA_HOME", JAVA_HOME.toString());
    environment.forEach(
        (name, value) -> {
          if (value.isEmpty()) {
            builder.environment().remove(name);
          } else {
            builder.environment().put(name, value);
          }
        });
    Process process = builder.start();
    process.getOutputStream().close();
    assertThat(process.waitFor(5, TimeUnit.MINUTES)).as("it ends").isTrue();
    return new Ran(
        process.exitValue(),
        Files.readString(out, StandardCharsets.UTF_8),
        Files.readString(err, StandardCharsets.UTF_8));
  }

  private Ran samelight(Object... args) throws IOException, InterruptedException {
    List<Object> command = new ArrayList<>(List.of(launcher()));
    Collections.addAll(command, args);
    return run(Map.of(), command.toArray());
  }

  @Test
  void run_fromAFolderWithSpaces_saysItsVersion() throws Exception {
    assertThat(samelight("--version").is(ExitStatus.DONE).out())
        .matches("samelight \\d+\\.\\d+\\.\\d+\\S*\\R");
  }

  @Test
  @DisabledOnOs(OS.WINDOWS) // there, Java is always asked
  void run_help_saysWhatJavaWouldSay() throws Exception {
    List<List<Object>> questions = new ArrayList<>(List.of(List.of("--help"), List.of("-h")));
    for (String command : Main.commandLine().getSubcommands().keySet()) {
      questions.add(List.of(command, "--help"));
    }
    for (List<Object> question : questions) {
      List<Object> words = new ArrayList<>(question);
      words.add(0, launcher());
      Ran plain = run(Map.of("JAVA_HOME", "/nowhere"), words.toArray()).is(ExitStatus.DONE);
      String ansi = question.size() == 1 ? "help.ansi" : "help/" + question.get(0) + ".ansi";

      Ran asked = run(Map.of("NO_COLOR", "1"), words.toArray()).is(ExitStatus.DONE);
      Ran coloured = run(Map.of("CLICOLOR_FORCE", "1"), words.toArray()).is(ExitStatus.DONE);

      assertThat(plain.out()).isEqualTo(asked.out());
      assertThat(Files.readString(home.resolve("lib").resolve(ansi)))
          .isEqualTo(coloured.out())
          .isNotEqualTo(plain.out());
    }
  }

  @Test
  void run_helpOfNoCommand_isJavasAffair() throws Exception {
    for (String name : List.of("regroup", "help", "../help", "")) {
      Ran said = samelight(name, "--help");

      assertThat(said).isEqualTo(run(Map.of("NO_COLOR", "1"), launcher(), name, "--help"));
      assertThat(said.out() + said.err()).contains("Usage: samelight [");
    }
  }

  @Test
  void run_wrongUsage_passesTheStatusOn() throws Exception {
    samelight("group").is(ExitStatus.USAGE);
    samelight().is(ExitStatus.USAGE);
  }

  @Test
  void run_argumentsWithSpaces_arriveWhole() throws Exception {
    Path nowhere = folder.resolve("a  b (2) & ü");

    assertThat(samelight("group", nowhere, "--json").is(ExitStatus.REFUSED).out())
        .contains("a  b (2) & ü");
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void run_argumentsWithShellCharacters_arriveWhole() throws Exception {
    String odd = "$(echo x) * 'y' \\z";

    assertThat(samelight("group", odd).is(ExitStatus.REFUSED).err()).contains(odd);
  }

  @Test
  void run_withoutJavaHome_takesJavaFromThePath() throws Exception {
    String path =
        JAVA_HOME.resolve("bin") + System.getProperty("path.separator") + System.getenv("PATH");

    run(Map.of("JAVA_HOME", "", "PATH", path), launcher(), "--version").is(ExitStatus.DONE);
  }

  @Test
  void run_javaHomeIsWrong_saysItsValue() throws Exception {
    assertThat(
            run(Map.of("JAVA_HOME", folder.toString()), launcher(), "--version")
                .is(ExitStatus.REFUSED)
                .err())
        .contains(folder.toString())
        .contains("Java 17");
  }

  @Test
  @DisabledOnOs({OS.WINDOWS, OS.MAC}) // there, the system knows where Java is
  void run_noJavaAtAll_saysWhatToInstall() throws Exception {
    Path empty = Files.createDirectory(folder.resolve("empty"));

    assertThat(
            run(Map.of("JAVA_HOME", "", "PATH", empty.toString()), "/bin/sh", launcher())
                .is(ExitStatus.REFUSED)
                .err())
        .contains("no Java found")
        .contains("install a Java 17");
  }

  @Test
  void run_javaIsTooOld_saysWhichItIs() throws Exception {
    Path old = Files.createDirectories(folder.resolve("old (x86)/jdk"));
    Path java = Files.createDirectory(old.resolve("bin")).resolve(WINDOWS ? "java.exe" : "java");
    Files.writeString(java, "never run");
    assertThat(java.toFile().setExecutable(true)).isTrue();
    Files.writeString(old.resolve("release"), "IMAGE_TYPE=\"JDK\"\nJAVA_VERSION=\"11.0.2\"\n");

    assertThat(
            run(Map.of("JAVA_HOME", old.toString()), launcher(), "--version")
                .is(ExitStatus.REFUSED)
                .err())
        .contains("Java 17 or later is needed")
        .contains("11");
  }

  @Test
  void run_libLeftBehind_saysToCopyTheWholeFolder() throws Exception {
    Shoots.delete(home.resolve("lib"));

    assertThat(samelight("--version").is(ExitStatus.REFUSED).err()).contains("lib");
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void run_throughLinks_findsItsJars() throws Exception {
    Path bin = Files.createDirectory(folder.resolve("my bin"));
    Path absolute = Files.createSymbolicLink(bin.resolve("one"), launcher());
    Path relative = Files.createSymbolicLink(bin.resolve("two"), Path.of("one"));
    Path viaFolder =
        Files.createSymbolicLink(folder.resolve("linked"), home.resolve("bin"))
            .resolve("samelight");

    for (Path link : List.of(absolute, relative, viaFolder)) {
      run(Map.of(), link, "--version").is(ExitStatus.DONE);
    }
    String path = bin + ":" + System.getenv("PATH");
    run(Map.of("PATH", path), "/bin/sh", "-c", "two --version").is(ExitStatus.DONE);
    run(Map.of(), "/bin/sh", "-c", "cd linked && sh samelight --version").is(ExitStatus.DONE);
  }

  @Test
  void archive_whereItWasMade_givesTheClassesOfGroup() throws Exception {
    Path archive = BUILT.resolve("lib/samelight.jsa");
    assumeThat(archive).as("some Java runtimes can't make one").exists();
    Path classes = folder.resolve("classes.txt");

    Ran ran =
        run(
            Map.of(),
            JAVA_HOME.resolve("bin/java"),
            "-XX:+UseSerialGC",
            "-Xshare:auto",
            "-XX:SharedArchiveFile=" + archive,
            "-Xlog:class+load:file=" + folder.relativize(classes),
            "-cp",
            BUILT.resolve("lib/samelight.jar"),
            "samelight.cli.Main",
            "group",
            Files.createDirectory(folder.resolve("shoot")));

    ran.is(ExitStatus.REFUSED);
    assertThat(Files.readString(classes))
        .containsPattern("samelight\\.cli\\.ShootWork source: shared objects file")
        .containsPattern("picocli\\.CommandLine source: shared objects file");
  }

  @Test
  void group_shootWithADifficultName_writesItsFiles() throws Exception {
    Path shoot = Shoots.mixed(folder.resolve("Zoë & 中文 (3)"));

    JsonNode json = Cli.json(samelight("group", shoot, "--json").out());

    assertThat(json.path("frames").asInt()).isEqualTo(48);
    assertThat(shoot.resolve("samelight/report.html")).isNotEmptyFile();
  }

  /** As a user who may not write there; an administrator's processes become another user's. */
  private Ran asSomebodyElse(Object... args) throws Exception {
    List<Object> command = new ArrayList<>();
    if ((int) Files.getAttribute(folder, "unix:uid") == 0) {
      Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwxr-xr-x"));
      command.addAll(
          List.of("setpriv", "--reuid=" + NOBODY, "--regid=" + NOBODY, "--clear-groups"));
    }
    command.add(launcher());
    Collections.addAll(command, args);
    return run(Map.of("HOME", folder.toString()), command.toArray());
  }

  @Test
  @EnabledOnOs(OS.LINUX)
  void group_readOnlyFolder_couldNotWrite() throws Exception {
    Path shoot = Shoots.mixed(folder.resolve("shoot"));
    readOnly(shoot);

    Ran ran = asSomebodyElse("group", shoot).is(ExitStatus.NOT_WRITTEN);

    assertThat(ran.err()).contains("access denied").contains(shoot.toString());
    assertThat(shoot.resolve("samelight")).doesNotExist();
  }

  @Test
  @EnabledOnOs(OS.LINUX)
  void carry_readOnlyPictureFolders_couldNotWriteAndLosesNothing() throws Exception {
    Path shoot = Shoots.mixed(folder.resolve("shoot"));
    samelight("group", shoot);
    String reference = GroupCommandTest.largestGroup(shoot).path("reference").asText();
    samelight("grade", shoot.resolve(reference), "--ev", "1").is(ExitStatus.DONE);
    var before = Shoots.contents(shoot);
    readOnly(shoot);
    everybodyMayWrite(shoot.resolve("samelight"));

    Ran ran = asSomebodyElse("carry", shoot).is(ExitStatus.NOT_WRITTEN);

    assertThat(ran.out() + ran.err()).contains("access denied");
    assertThat(Shoots.contents(shoot)).isEqualTo(before);
  }

  private static void readOnly(Path shoot) throws IOException {
    try (Stream<Path> all = Files.walk(shoot)) {
      for (Path p : all.toList()) {
        Files.setPosixFilePermissions(
            p, PosixFilePermissions.fromString(Files.isDirectory(p) ? "r-xr-xr-x" : "r--r--r--"));
      }
    }
  }

  private static void everybodyMayWrite(Path own) throws IOException {
    try (Stream<Path> all = Files.walk(own)) {
      for (Path p : all.toList()) {
        Files.setPosixFilePermissions(
            p, PosixFilePermissions.fromString(Files.isDirectory(p) ? "rwxrwxrwx" : "rw-rw-rw-"));
      }
    }
  }
}
