package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.Objects;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class KeptAnswerTest {
  private static final String MARK = "said before";

  @TempDir Path folder;
  private Path shoot;
  private Cli.Result first;

  @BeforeEach
  void group() throws IOException {
    shoot = Shoots.mixed(folder.resolve("shoot"));
    first = Cli.run("group", shoot);
  }

  @Test
  void nothingChanged_theSameIsSaid_asTextAndAsJson() throws IOException {
    Cli.Result json = Cli.run("group", shoot, "--json");
    Files.delete(shoot.resolve(KeptAnswer.NAME));
    assertThat(Cli.run("group", shoot, "--json").out()).isEqualTo(json.out());
    assertThat(Cli.run("group", shoot).out()).isEqualTo(first.out());
  }

  /** Else the other tests here would hold of a program that keeps nothing. */
  @Test
  void nothingChanged_itIsWhatWasKept() throws IOException {
    mark();
    assertThat(Cli.run("group", shoot).out()).contains(MARK);
  }

  /** What may change between two runs. */
  enum Change {
    FRAME_GONE,
    FRAME_NEW,
    FRAME_OTHER_HEAD_SAME_SIZE_AND_TIME,
    FRAME_OTHER_TIME,
    SIDECAR_NEW,
    CLIP_GONE,
    PLAN,
    REPORT_GONE,
    SMALL_IMAGES_GONE,
    EDIT_MAP_GONE,
    MOVED_SHOOT
  }

  @ParameterizedTest
  @EnumSource
  void whatChanged_isGroupedAnew(Change change) throws IOException {
    Path map = shoot.resolve(ShootWork.MAPS).resolve("x.json");
    if (change == Change.EDIT_MAP_GONE) {
      Path given = folder.resolve("map.json");
      Files.writeString(
          given,
          """
          {"version": 1, "namespaces": ["http://editor.example/ns/1.0/"],
           "exposure": {"namespace": "http://editor.example/ns/1.0/", "property": "Gain",
                        "unit": "stops"}}
          """);
      Cli.run("group", shoot, "--edit-map", given);
      map = only(shoot.resolve(ShootWork.MAPS), ".json");
    }
    mark();
    Path frame = only(shoot, ".DNG");
    switch (change) {
      case FRAME_GONE -> Files.delete(frame);
      case FRAME_NEW -> Files.copy(frame, shoot.resolve("X_0001.DNG"));
      case FRAME_OTHER_HEAD_SAME_SIZE_AND_TIME -> {
        FileTime time = Files.getLastModifiedTime(frame);
        byte[] bytes = Files.readAllBytes(frame);
        bytes[100] ^= 1;
        Files.write(frame, bytes);
        Files.setLastModifiedTime(frame, time);
      }
      case FRAME_OTHER_TIME -> Files.setLastModifiedTime(frame, FileTime.fromMillis(1));
      case SIDECAR_NEW -> Files.writeString(Path.of(frame + ".xmp"), "<x/>");
      case CLIP_GONE -> Files.delete(only(shoot, ".MP4"));
      case PLAN -> Cli.run("name", frame, "Orangery").is(ExitStatus.DONE);
      case REPORT_GONE -> Files.delete(shoot.resolve(ShootWork.REPORT));
      case SMALL_IMAGES_GONE -> Files.delete(shoot.resolve("samelight/small-images.bin"));
      case EDIT_MAP_GONE -> Files.delete(map);
      case MOVED_SHOOT -> shoot = Files.move(shoot, folder.resolve("moved"));
    }
    assertThat(Cli.run("group", shoot).out()).doesNotContain(MARK);
    assertThat(shoot.resolve(ShootWork.REPORT)).isNotEmptyFile();
  }

  @Test
  void decisionsOnTheCommandLine_areMadeAnew() throws IOException {
    mark();
    assertThat(Cli.run("group", shoot, "--follow", "0.5").out()).doesNotContain(MARK);
  }

  @Test
  void damaged_isGroupedAnew() throws IOException {
    Path kept = shoot.resolve(KeptAnswer.NAME);
    String whole = Files.readString(kept);
    Files.writeString(kept, whole.substring(0, whole.indexOf('\n') + 4));
    assertThat(Cli.run("group", shoot).out()).isEqualTo(first.out());
    assertThat(Files.readString(kept)).endsWith(whole.substring(whole.indexOf('\n')));
  }

  /** Puts a mark into what is kept, so that one can see whether it was taken. */
  private void mark() throws IOException {
    Path kept = shoot.resolve(KeptAnswer.NAME);
    Files.writeString(kept, Files.readString(kept).replaceFirst("Next:", MARK));
  }

  private static Path only(Path top, String end) throws IOException {
    try (Stream<Path> files = Files.walk(top)) {
      return Objects.requireNonNull(
          files.filter(f -> f.toString().endsWith(end)).sorted().findFirst().orElse(null),
          () -> "no " + end + " in " + top);
    }
  }
}
