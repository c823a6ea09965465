package samelight.samples;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DemoTest {

  @TempDir Path dir;

  @Test
  void main_foreignFolder_isNotTouched() throws Exception {
    Path mine = Files.writeString(Files.createDirectory(dir.resolve("work")).resolve("a"), "mine");
    String[] args = {"--jars", dir.toString(), "--work", dir.resolve("work").toString()};
    assertThatThrownBy(() -> Demo.main(args))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("holds something else than an earlier demo");
    assertThat(mine).hasContent("mine");
  }

  @Test
  void main_toolNotBuilt_saysSo() {
    String[] args = {
      "--jars", dir.resolve("none").toString(), "--work", dir.resolve("work").toString()
    };
    assertThatThrownBy(() -> Demo.main(args))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("build it first");
    assertThat(dir.resolve("work")).doesNotExist();
  }

  @Test
  void write_truthInsideShootOrFolderNotEmpty_isRefused() throws Exception {
    ShootOptions o = ShootOptions.of(1, 2, ShootOptions.Kind.JPEG);
    Path shoot = dir.resolve("shoot");
    assertThatThrownBy(() -> SampleShoot.write(o, shoot, shoot.resolve("truth.json")))
        .hasMessageContaining("must lie outside the shoot");
    Files.writeString(Files.createDirectory(shoot).resolve("a"), "mine");
    assertThatThrownBy(() -> SampleShoot.write(o, shoot, dir.resolve("truth.json")))
        .hasMessageContaining("must be empty");
    assertThat(dir.resolve("truth.json")).doesNotExist();
  }

  @Test
  void options_outOfRange_sayRuleAndValue() {
    assertThatThrownBy(() -> ShootOptions.of(1, 0, ShootOptions.Kind.JPEG))
        .hasMessage("frames must be 1 to 1000000, got 0");
    assertThatThrownBy(() -> ShootOptions.of(1, 5, ShootOptions.Kind.JPEG).withBodies(4))
        .hasMessage("bodies must be 2 or 3, got 4");
    assertThatThrownBy(() -> samelight.samples.day.Trouble.of("fog"))
        .hasMessageContaining("got fog");
  }
}
