package samelight.engine.metadata;

import com.drew.imaging.ImageMetadataReader;
import com.drew.imaging.ImageProcessingException;
import com.drew.metadata.Metadata;
import com.sun.management.OperatingSystemMXBean;
import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.management.ManagementFactory;
import java.net.URI;
import java.net.URLClassLoader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * Side by side in one run: our reading of frames (fields, white point, pixels) against the parsing
 * library's own {@code ImageMetadataReader} (tags alone) over the same files. Five alternations,
 * each a new process that reads the folder's pictures in turn until it has read 4,000; prints the
 * medians of processor and wall time and their ratios, start of the process and compilation
 * included. Files that the library can't read, or in which it finds no Exif, are left out first.
 *
 * <p>Arguments: a folder of pictures, a file-name pattern as a glob (default: all), the number of
 * readings (default 4,000). The command stands in DEVELOPERS.md.
 */
public final class ReadingSpeed {
  private static final int ROUNDS = 5;
  private static final int READINGS = 4000;

  private ReadingSpeed() {}

  /** Runs it. */
  public static void main(String[] args) throws Exception {
    Path folder = Path.of(args[0]).toRealPath();
    if (args.length > 3) {
      child(folder, Files.readAllLines(Path.of(args[3])), args[1], Integer.parseInt(args[2]));
      return;
    }
    List<String> names = comparable(folder, args.length > 1 ? args[1] : "*");
    int readings = args.length > 2 ? Integer.parseInt(args[2]) : READINGS;
    if (names.isEmpty()) {
      throw new IllegalArgumentException("no picture that the library reads under " + folder);
    }
    Path list = Files.createTempFile("samelight-speed", ".txt");
    try {
      Files.write(list, names);
      long[][] ours = new long[2][ROUNDS];
      long[][] bare = new long[2][ROUNDS];
      for (int i = 0; i < ROUNDS; i++) {
        run(folder, "bare", readings, list, bare, i);
        run(folder, "ours", readings, list, ours, i);
      }
      say("%d readings of %d files, medians of %d%n", readings, names.size(), ROUNDS);
      say("processor: ours %d ms, library %d ms%n", median(ours[0]), median(bare[0]));
      say("wall:      ours %d ms, library %d ms%n", median(ours[1]), median(bare[1]));
      double processor = (double) median(ours[0]) / median(bare[0]);
      double wall = (double) median(ours[1]) / median(bare[1]);
      say("ratios:    processor %.2f, wall %.2f%n", processor, wall);
    } finally {
      Files.delete(list);
    }
  }

  private static void say(String format, Object... values) {
    System.out.printf(Locale.ROOT, format, values);
  }

  private static long median(long[] v) {
    long[] sorted = v.clone();
    Arrays.sort(sorted);
    return sorted[v.length / 2];
  }

  private static List<String> comparable(Path folder, String glob) throws IOException {
    var matcher = folder.getFileSystem().getPathMatcher("glob:" + glob);
    try (Stream<Path> all = Files.walk(folder)) {
      return all.filter(p -> Files.isRegularFile(p) && matcher.matches(p.getFileName()))
          .filter(ReadingSpeed::libraryReads)
          .map(p -> folder.relativize(p).toString())
          .sorted()
          .toList();
    }
  }

  private static boolean libraryReads(Path file) {
    try {
      Metadata m = ImageMetadataReader.readMetadata(file.toFile());
      return m.containsDirectoryOfType(com.drew.metadata.exif.ExifIFD0Directory.class);
    } catch (ImageProcessingException | IOException | RuntimeException e) {
      return false;
    }
  }

  /** Within Maven the class path of the process is Maven's own. */
  private static String classPath() {
    if (ReadingSpeed.class.getClassLoader() instanceof URLClassLoader urls) {
      return Arrays.stream(urls.getURLs())
          .map(u -> Path.of(URI.create(u.toString())).toString())
          .collect(Collectors.joining(File.pathSeparator));
    }
    return System.getProperty("java.class.path");
  }

  private static void run(Path folder, String which, int n, Path list, long[][] times, int i)
      throws IOException, InterruptedException {
    Process p =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                classPath(),
                ReadingSpeed.class.getName(),
                folder.toString(),
                which,
                Integer.toString(n),
                list.toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    String out = new String(p.getInputStream().readAllBytes(), StandardCharsets.UTF_8).strip();
    if (p.waitFor() != 0) {
      throw new IOException(which + " ended with " + p.exitValue());
    }
    String[] parts = out.split(" ", -1);
    times[0][i] = Long.parseLong(parts[0]);
    times[1][i] = Long.parseLong(parts[1]);
    say("%-5s processor %5d ms, wall %5d ms%n", which, times[0][i], times[1][i]);
  }

  private static void child(Path folder, List<String> names, String which, int readings)
      throws Exception {
    if (which.equals("ours")) {
      FrameReader reader = new FrameReader();
      AtomicLong frames = new AtomicLong();
      new ReadingPool<Boolean>(
              Runtime.getRuntime().availableProcessors(),
              readings,
              (i, budget) -> {
                String name = names.get(i % names.size());
                Reading r = reader.read(name, folder.resolve(name), budget, stamp -> {});
                frames.addAndGet(r.frame() == null ? 0 : 1);
                return true;
              },
              i -> false,
              ReadProgress.NONE)
          .run();
      if (frames.get() == 0) {
        throw new IllegalStateException("no frame was read");
      }
    } else {
      for (int i = 0; i < readings; i++) {
        try {
          Metadata m =
              ImageMetadataReader.readMetadata(
                  folder.resolve(names.get(i % names.size())).toFile());
          if (m.getDirectoryCount() == 0) {
            throw new IllegalStateException("nothing was read");
          }
        } catch (IOException e) {
          throw new UncheckedIOException(e);
        }
      }
    }
    long cpu =
        ((OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean()).getProcessCpuTime();
    long started = ManagementFactory.getRuntimeMXBean().getStartTime();
    say("%d %d%n", cpu / 1_000_000, System.currentTimeMillis() - started);
  }
}
