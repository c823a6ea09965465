package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.ShootPaths;

class KeptPageTest {
  @TempDir Path folder;
  private Path shoot;
  private ShootPaths paths;

  @BeforeEach
  void group() throws IOException {
    shoot = Shoots.mixed(folder.resolve("shoot"));
    paths = ShootPaths.of(shoot);
    Cli.run("group", shoot);
  }

  private String kept() {
    return new String(Objects.requireNonNull(KeptPage.read(paths)), StandardCharsets.UTF_8);
  }

  private String frame() throws IOException {
    return Shoots.plan(shoot).path("groups").path(0).path("reference").asText();
  }

  @Test
  void afterEveryCommandThatDecides_isThePageThatReviewWouldMake() throws IOException {
    assertThat(kept()).startsWith("<!DOCTYPE html>").isEqualTo(made());
    Cli.run("name", shoot.resolve(frame()), "Orangery").is(ExitStatus.DONE);
    assertThat(kept()).contains("Orangery").isEqualTo(made());
  }

  private String made() throws IOException {
    ReviewDesk desk = ReviewDesk.open(shoot, List.of());
    return text(pages(CompletableFuture.completedFuture(desk), null).get("/"));
  }

  private ReviewPages pages(CompletableFuture<ReviewDesk> desk, byte @Nullable [] first) {
    return new ReviewPages(
        paths.name(), desk, "token", first == null ? null : new ReviewServer.Bytes(first));
  }

  private static String text(ReviewServer.Reply reply) {
    return new String(reply.body().get(), StandardCharsets.UTF_8);
  }

  @Test
  void planOrFramesOrPageChanged_isNoLongerUsed() throws IOException {
    for (String file : List.of("plan.json", "frames.json", "review-page.html")) {
      Path at = shoot.resolve("samelight").resolve(file);
      byte[] before = Files.readAllBytes(at);
      FileTime time = Files.getLastModifiedTime(at);
      byte[] other = before.clone();
      other[20] ^= 1; // within the key of the page
      Files.write(at, other);
      assertThat(KeptPage.read(paths)).as(file).isNull();
      Files.write(at, Arrays.copyOf(before, 10));
      assertThat(KeptPage.read(paths)).as(file).isNull();
      Files.delete(at);
      assertThat(KeptPage.read(paths)).as(file).isNull();
      Files.write(at, before);
      Files.setLastModifiedTime(at, time);
      assertThat(KeptPage.read(paths)).as(file).isNotNull();
    }
  }

  @Test
  void shoot_renamed_hasNoPageOfItsOldName() throws IOException {
    Path renamed = Files.move(shoot, folder.resolve("other"));
    assertThat(KeptPage.read(ShootPaths.of(renamed))).isNull();
  }

  @Test
  void first_isShownUntilTheShootIsOpen_andReplacedWhereItIsNotWhatTheShootShows()
      throws Exception {
    for (String first : List.of(kept(), "<!DOCTYPE html><p>Somebody else's page")) {
      CompletableFuture<ReviewDesk> opening = new CompletableFuture<>();
      ReviewPages pages = pages(opening, first.getBytes(StandardCharsets.UTF_8));
      assertThat(text(pages.get("/"))).isEqualTo(first);
      opening.complete(ReviewDesk.open(shoot, List.of()));
      String state = "";
      for (int i = 0; i < 600 && !state.contains("\"ready\" : true"); i++) {
        Thread.sleep(50);
        state = text(pages.get("/state"));
      }
      assertThat(Cli.json(state).path("stale").asBoolean()).isNotEqualTo(first.equals(kept()));
      assertThat(text(pages.get("/"))).contains("class=\"lot\"");
      assertThat(Cli.json(text(pages.get("/state"))).path("stale").asBoolean()).isFalse();
    }
  }

  @Test
  void rehearsals_changeNothing() throws Exception {
    ReviewDesk desk = ReviewDesk.open(shoot, List.of());
    desk.begin(() -> {});
    for (int i = 0; i < 600 && !desk.shown().ready(); i++) {
      Thread.sleep(50);
    }
    byte[] plan = Files.readAllBytes(shoot.resolve("samelight/plan.json"));
    ReviewDesk.Shown shown = desk.shown();
    ReviewDesk.Shown rehearsed = Objects.requireNonNull(desk.rehearsed(0));
    assertThat(rehearsed.plan().decisions()).isNotEqualTo(shown.plan().decisions());
    assertThat(desk.shown()).isSameAs(shown);
    assertThat(desk.canUndo()).isFalse();
    assertThat(shoot.resolve("samelight/plan.json")).hasBinaryContent(plan);
  }

  @Test
  void shootThatCanNotBeOpened_isSaidWithoutAPage() {
    CompletableFuture<ReviewDesk> opening = new CompletableFuture<>();
    ReviewPages pages = pages(opening, "first".getBytes(StandardCharsets.UTF_8));
    assertThat(text(pages.get("/"))).isEqualTo("first");
    opening.completeExceptionally(new IllegalStateException("the frames are gone"));
    ReviewServer.Reply reply = pages.get("/state");
    assertThat(reply.status()).isEqualTo(503);
    assertThat(text(reply)).isEqualTo("the frames are gone");
  }
}
