package samelight.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.files.ShootPaths;
import samelight.engine.sidecar.EditMap;

/** Shows a shoot on a page of this computer, on which decisions can be made. */
@Command(
    name = "review",
    description = {
      "Show the report as a page on this computer alone, and make decisions on it: references, groups,"
          + " names, grades, carry and revert.",
      "Open the address that is printed in a browser. Every decision is kept at once; Ctrl-C ends it."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight review 2026-06-13-garden")
final class ReviewCommand extends ShootCommand {
  @Parameters(paramLabel = "SHOOT", description = "A shoot that has been grouped.")
  @Nullable Path shoot;

  @Option(
      names = "--edit-map",
      paramLabel = "FILE",
      description =
          "For carrying from the page: which properties of your raw editor hold exposure and white"
              + " balance. At most one for each kind of file.")
  List<Path> editMaps = new ArrayList<>();

  /** The shoot is not opened later than this after the page could be asked for. */
  private static final Duration LONGEST_WAIT = Duration.ofSeconds(1);

  private volatile boolean interrupted;
  private Consumer<ReviewServer> started = server -> {};

  /** What is told of the server once it listens, as by a test that ends it. */
  void whenStarted(Consumer<ReviewServer> then) {
    this.started = then;
  }

  @Override
  Answer answer() throws IOException {
    List<EditMap> maps = editMaps.stream().map(EditMap::read).toList();
    Path folder = Objects.requireNonNull(shoot);
    ShootPaths paths = ShootPaths.of(folder);
    CompletableFuture<byte @Nullable []> kept =
        CompletableFuture.supplyAsync(() -> KeptPage.read(paths));
    CompletableFuture<ReviewDesk> opening = new CompletableFuture<>();
    ReviewServer server = ReviewServer.start(paths.name(), opening, kept::join);
    CountDownLatch ended = new CountDownLatch(1);
    server.whenEnded(ended::countDown);
    Thread hook = new Thread(() -> end(server, paths, opening), "end of review");
    Runtime.getRuntime().addShutdownHook(hook);
    boolean atOnce = kept.join() != null;
    try {
      if (atOnce) {
        address(server, paths);
        server.awaitLook(LONGEST_WAIT); // until then both cores are for the page
      }
      ReviewDesk desk = ReviewDesk.open(folder, maps);
      opening.complete(desk);
      if (!atOnce) {
        address(server, paths);
      }
      desk.recovered().forEach(this::note);
      started.accept(server);
      ended.await();
      if (interrupted) {
        new CountDownLatch(1).await(); // the hook does the rest, then the process ends
      }
      desk.close();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      opening.cancel(false);
    } catch (RuntimeException e) {
      opening.completeExceptionally(e);
      server.stop();
      throw e;
    } finally {
      if (!interrupted) {
        Runtime.getRuntime().removeShutdownHook(hook);
      }
    }
    return new Answer(ExitStatus.DONE, where(paths), Map.of("ended", true));
  }

  private void address(ReviewServer server, ShootPaths paths) {
    if (common.json) {
      Map<String, @Nullable Object> json = new LinkedHashMap<>();
      json.put("command", "review");
      json.put("address", server.address());
      json.put("shoot", paths.root().toString());
      Json.write(terminal().out(), json);
    } else {
      terminal().out().println("Open in a browser on this computer: " + server.address());
      terminal().out().println("The address is a key: give it to nobody. Ctrl-C ends the review.");
    }
    terminal().flush();
  }

  private void end(ReviewServer server, ShootPaths paths, CompletableFuture<ReviewDesk> opening) {
    interrupted = true;
    server.stop();
    try {
      ReviewDesk desk = opening.isCompletedExceptionally() ? null : opening.getNow(null);
      if (desk != null) {
        desk.close();
      }
    } catch (RuntimeException e) {
      note("the report could not be renewed: " + e.getMessage());
    }
    if (!common.json) {
      terminal().out().println();
      where(paths).forEach(line -> terminal().out().println(Plain.text(line)));
    }
    terminal().flush();
  }

  private static List<String> where(ShootPaths paths) {
    Path root = paths.root();
    return List.of(
        "Decisions: " + root.resolve("samelight/plan.json"),
        "Report:    " + root.resolve(ShootWork.REPORT),
        "Sidecars lie beside their frames; `samelight revert SHOOT` takes the last carry back.");
  }
}
