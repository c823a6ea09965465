package samelight.samples;

import java.io.File;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import samelight.samples.ShootOptions.Kind;
import samelight.samples.day.Trouble;

/**
 * The main job on the sample day, from frames to recipes, in the order in which a photographer
 * meets it. The command line tool runs as a process of its own, from the built folder, exactly as
 * it would for a user; the truth is known only to the first, third and last step.
 */
@Command(name = "demo", description = "The main job on the sample day.")
public final class Demo {

  /** Written into a folder of this demo, so that it clears no other folder. */
  private static final String MARK = "samelight-sample-day.txt";

  @Option(names = "--jars", required = true, description = "Folder with the tool's jars.")
  private Path jars = Path.of("lib");

  @Option(names = "--work", required = true, description = "Folder to work in, new or its own.")
  private Path work = Path.of("sample-day");

  @Option(names = "--frames", defaultValue = "240", description = "How many (${DEFAULT-VALUE}).")
  private int frames;

  @Option(names = "--seed", defaultValue = "7", description = "Any number (${DEFAULT-VALUE}).")
  private long seed;

  @Option(names = "--kind", defaultValue = "mixed", description = "jpeg, dng or mixed.")
  private String kind = "mixed";

  @Option(names = "--bodies", defaultValue = "2", description = "2 or 3 (${DEFAULT-VALUE}).")
  private int bodies;

  @Option(names = "--trouble", split = ",", description = "As for the generator.")
  private List<String> troubles = new ArrayList<>();

  private final PrintWriter out =
      new PrintWriter(new OutputStreamWriter(System.out, Charset.defaultCharset()), true);
  private Path shoot = work;
  private Path truth = work;

  private Demo() {}

  /** Runs the demo; fails with the reason if a step does. */
  public static void main(String[] args) throws Exception {
    Demo demo = new Demo();
    new CommandLine(demo).parseArgs(args);
    demo.work = demo.work.toAbsolutePath().normalize();
    demo.jars = demo.jars.toAbsolutePath().normalize();
    demo.shoot = demo.work.resolve("shoot");
    demo.truth = demo.work.resolve("truth.json");
    demo.run();
  }

  private void run() throws IOException, InterruptedException {
    if (!Files.isDirectory(jars)) {
      throw new IOException("the tool's jars are not in " + jars + "; build it first");
    }
    clear();
    Files.writeString(work.resolve(MARK), "Made by the samelight demo; cleared by its next run.\n");
    head("1. An invented wedding day: " + frames + " frames, seed " + seed);
    SampleShoot.write(
        ShootOptions.of(seed, frames, Kind.of(kind))
            .withBodies(bodies)
            .with(Trouble.all(troubles))
            .withExtras(true),
        shoot,
        truth);
    out.println("Shoot  " + shoot);
    out.println("Truth  " + truth + " (the tool never sees it)");

    head("2. Find the groups of same light: samelight group SHOOT");
    tool("group", shoot.toString());

    head("3. The photographer grades one reference in each group");
    Path map = work.resolve("edit-map.json");
    Files.writeString(map, DemoGrades.editMap(), StandardCharsets.UTF_8);
    out.println(DemoGrades.write(shoot, truth) + " references graded in an invented raw editor");

    head("4. Carry the grades to all other frames: samelight carry SHOOT --edit-map MAP");
    tool("carry", shoot.toString(), "--edit-map", map.toString());

    head("5. What is left, measured by reading the sidecars back against the truth");
    Residual.print(shoot, truth, out);

    out.println();
    out.println("Report  " + shoot.resolve("samelight").resolve("report.html"));
  }

  private void head(String text) {
    out.println();
    out.println(text);
    out.println("-".repeat(text.length()));
    out.flush();
  }

  private void tool(String... args) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.add("-cp");
    command.add(jars + File.separator + "*");
    command.add("samelight.cli.Main");
    command.addAll(Arrays.asList(args));
    int status = new ProcessBuilder(command).inheritIO().start().waitFor();
    if (status != 0 && status != 1) {
      throw new IOException("samelight " + args[0] + " ended with status " + status);
    }
  }

  /** Removes what an earlier run left; refuses any other folder that is not empty. */
  private void clear() throws IOException {
    if (!Files.exists(work, LinkOption.NOFOLLOW_LINKS)) {
      Files.createDirectories(work);
      return;
    }
    if (!Files.isRegularFile(work.resolve(MARK), LinkOption.NOFOLLOW_LINKS)) {
      try (var inside = Files.list(work)) {
        if (inside.findAny().isPresent()) {
          throw new IOException(work + " holds something else than an earlier demo; not touched");
        }
      }
      return;
    }
    Files.walkFileTree(
        work,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
            Files.delete(file);
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult postVisitDirectory(Path dir, @Nullable IOException e)
              throws IOException {
            if (e != null) {
              throw e;
            }
            if (!dir.equals(work)) {
              Files.delete(dir);
            }
            return FileVisitResult.CONTINUE;
          }
        });
  }
}
