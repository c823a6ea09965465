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
import samelight.samples.ShootOptions.Kind;

/**
 * The main job on the sample day, from frames to recipes, in the order in which a photographer
 * meets it. The command line tool runs as a process of its own, from the built folder, exactly as
 * it would for a user; the truth is known only to the first, third and last step.
 */
public final class Demo {

  /** Written into a folder of this demo, so that it clears no other folder. */
  private static final String MARK = "samelight-sample-day.txt";

  private final Path work;
  private final Path shoot;
  private final Path truth;
  private final Path launcherJars;
  private final PrintWriter out;

  private Demo(Path work, Path launcherJars, PrintWriter out) {
    this.work = work;
    shoot = work.resolve("shoot");
    truth = work.resolve("truth.json");
    this.launcherJars = launcherJars;
    this.out = out;
  }

  /**
   * Runs the demo.
   *
   * @param args folder with the tool's jars; folder to work in; then, if wanted, the number of
   *     frames (240) and the seed (7)
   */
  public static void main(String[] args) throws Exception {
    PrintWriter out =
        new PrintWriter(new OutputStreamWriter(System.out, Charset.defaultCharset()), true);
    if (args.length < 2 || args.length > 4) {
      out.println("usage: Demo JARS WORK [FRAMES [SEED]]");
      System.exit(2);
    }
    Demo demo =
        new Demo(
            Path.of(args[1]).toAbsolutePath().normalize(),
            Path.of(args[0]).toAbsolutePath().normalize(),
            out);
    demo.run(
        args.length > 2 ? Integer.parseInt(args[2]) : 240,
        args.length > 3 ? Long.parseLong(args[3]) : 7);
  }

  private void run(int frames, long seed) throws IOException, InterruptedException {
    if (!Files.isDirectory(launcherJars)) {
      throw new IOException("the tool's jars are not in " + launcherJars + "; build it first");
    }
    clear();
    Files.writeString(work.resolve(MARK), "Made by the samelight demo; cleared by its next run.\n");
    head("1. An invented wedding day: " + frames + " frames of two photographers");
    SampleShoot.write(ShootOptions.of(seed, frames, Kind.MIXED).withExtras(true), shoot, truth);
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
    command.add(launcherJars + File.separator + "*");
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
