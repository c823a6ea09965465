package samelight.engine.metadata;

import com.drew.imaging.ImageMetadataReader;
import com.drew.imaging.ImageProcessingException;
import com.drew.metadata.Metadata;
import java.io.File;
import java.io.IOException;
import java.net.URI;
import java.net.URLClassLoader;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.atomic.AtomicLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * Side by side in one run: our reading of frames (fields, white point, pixels of the thumbnail)
 * against the parsing library's own {@code ImageMetadataReader} (tags alone), and against exiv2 and
 * exiftool where they are installed, over the same files: 4,000 sparse copies of 25 MB of the
 * pictures of a folder, made in the folder for temporary files and deleted after.
 *
 * <p>Five alternations; each reading is a process of its own, start and end included. Prints the
 * medians of processor and wall time, and ours as a share of each. Pictures that the library can't
 * read, or in which it finds no Exif, are left out first. The system's {@code sh} takes the times.
 *
 * <p>Arguments: a folder of pictures, a file-name pattern as a glob (default: all), the number of
 * copies (default 4,000). The command stands in DEVELOPERS.md.
 */
public final class ReadingSpeed {
  private static final int ROUNDS = 5;
  private static final long LENGTH = 25_000_000;
  private static final Pattern TIMES = Pattern.compile("(\\d+)m([\\d.]+)s\\s+(\\d+)m([\\d.]+)s");

  private ReadingSpeed() {}

  /** Processor and wall time of each round, in ms. */
  private record Times(List<Long> processor, List<Long> wall) {
    Times() {
      this(new ArrayList<>(), new ArrayList<>());
    }
  }

  /** Runs it. */
  public static void main(String[] args) throws Exception {
    if (args[0].equals("--ours")) {
      ours(Path.of(args[1]));
      return;
    }
    if (args[0].equals("--library")) {
      library(Path.of(args[1]));
      return;
    }
    Path folder = Path.of(args[0]).toRealPath();
    List<Path> pictures = comparable(folder, args.length > 1 ? args[1] : "*");
    int copies = args.length > 2 ? Integer.parseInt(args[2]) : 4000;
    if (pictures.isEmpty()) {
      throw new IllegalArgumentException("no picture that the library reads under " + folder);
    }
    Path shoot = Files.createTempDirectory("samelight-speed");
    try {
      copies(pictures, shoot, copies);
      say("%d copies of %d pictures, medians of %d%n", copies, pictures.size(), ROUNDS);
      compare(shoot);
    } finally {
      try (Stream<Path> files = Files.list(shoot)) {
        for (Path p : files.toList()) {
          Files.delete(p);
        }
      }
      Files.delete(shoot);
    }
  }

  private static void compare(Path shoot) throws IOException, InterruptedException {
    List<String> jvm =
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx512m",
            "-XX:+UseSerialGC", // as the launcher
            "-cp",
            classPath(),
            ReadingSpeed.class.getName());
    Map<String, List<String>> commands = new LinkedHashMap<>();
    commands.put("ours", join(jvm, List.of("--ours", shoot.toString())));
    commands.put("library", join(jvm, List.of("--library", shoot.toString())));
    if (installed("exiv2")) {
      commands.put("exiv2", join(List.of("exiv2", "-pa"), names(shoot)));
    }
    if (installed("exiftool")) {
      commands.put("exiftool", List.of("exiftool", "-fast2", "-j", "-q", shoot.toString()));
    }
    Map<String, Times> times = new LinkedHashMap<>();
    commands.keySet().forEach(name -> times.put(name, new Times()));
    for (int round = -1; round < ROUNDS; round++) {
      for (Map.Entry<String, List<String>> e : commands.entrySet()) {
        // The first round only warms the system's cache of the files.
        Times t = round < 0 ? new Times() : times.get(e.getKey());
        run(e.getKey(), e.getValue(), Objects.requireNonNull(t));
      }
    }
    Times ours = Objects.requireNonNull(times.get("ours"));
    times.forEach(
        (name, t) ->
            say(
                "%-8s processor %6d ms, wall %6d ms; ours is %.2f of it, wall %.2f%n",
                name,
                median(t.processor),
                median(t.wall),
                (double) median(ours.processor) / median(t.processor),
                (double) median(ours.wall) / median(t.wall)));
  }

  private static void run(String name, List<String> command, Times times)
      throws IOException, InterruptedException {
    Path out = Files.createTempFile("samelight-speed", ".txt");
    try {
      long start = System.nanoTime();
      Process p =
          new ProcessBuilder(
                  join(
                      List.of("sh", "-c", "\"$@\" >/dev/null 2>&1; e=$?; times; exit $e", "sh"),
                      command))
              .redirectOutput(out.toFile())
              .start();
      int status = p.waitFor();
      long wall = (System.nanoTime() - start) / 1_000_000;
      // Other programs end with a status of their own where a file lacks something.
      if (status != 0 && command.contains(ReadingSpeed.class.getName())) {
        throw new IOException(name + " ended with " + status);
      }
      // Two lines: of the shell, of its children.
      List<String> lines = Files.readAllLines(out);
      Matcher m = TIMES.matcher(lines.get(lines.size() - 1));
      if (!m.matches()) {
        throw new IOException("no times from sh: " + lines);
      }
      double seconds =
          60 * (Double.parseDouble(m.group(1)) + Double.parseDouble(m.group(3)))
              + Double.parseDouble(m.group(2))
              + Double.parseDouble(m.group(4));
      times.processor.add(Math.round(seconds * 1000));
      times.wall.add(wall);
      say("  %-8s processor %6.0f ms, wall %6d ms%n", name, seconds * 1000, wall);
    } finally {
      Files.delete(out);
    }
  }

  private static boolean installed(String program) throws InterruptedException {
    try {
      String ask = program.equals("exiftool") ? "-ver" : "--version";
      new ProcessBuilder(program, ask)
          .redirectOutput(ProcessBuilder.Redirect.DISCARD)
          .redirectError(ProcessBuilder.Redirect.DISCARD)
          .start()
          .waitFor();
      return true;
    } catch (IOException e) {
      say("%s isn't installed%n", program);
      return false;
    }
  }

  private static List<String> join(List<String> a, List<String> b) {
    return Stream.concat(a.stream(), b.stream()).toList();
  }

  private static List<String> names(Path shoot) throws IOException {
    try (Stream<Path> files = Files.list(shoot)) {
      return files.map(Path::toString).sorted().toList();
    }
  }

  private static void copies(List<Path> pictures, Path shoot, int copies) throws IOException {
    for (int i = 0; i < copies; i++) {
      Path from = pictures.get(i % pictures.size());
      String name = from.getFileName().toString();
      Path to =
          shoot.resolve(
              String.format(Locale.ROOT, "F%05d%s", i, name.substring(name.lastIndexOf('.'))));
      Files.write(to, Files.readAllBytes(from));
      try (FileChannel channel = FileChannel.open(to, StandardOpenOption.WRITE)) {
        if (channel.size() < LENGTH) {
          channel.write(ByteBuffer.allocate(1), LENGTH - 1);
        }
      }
    }
  }

  private static void say(String format, Object... values) {
    System.out.printf(Locale.ROOT, format, values);
  }

  private static long median(List<Long> v) {
    return v.stream().sorted().toList().get(v.size() / 2);
  }

  private static List<Path> comparable(Path folder, String glob) throws IOException {
    var matcher = folder.getFileSystem().getPathMatcher("glob:" + glob);
    try (Stream<Path> all = Files.walk(folder)) {
      return all.filter(p -> Files.isRegularFile(p) && matcher.matches(p.getFileName()))
          .filter(p -> p.getFileName().toString().lastIndexOf('.') > 0)
          .filter(ReadingSpeed::libraryReads)
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
      return java.util.Arrays.stream(urls.getURLs())
          .map(u -> Path.of(URI.create(u.toString())).toString())
          .collect(Collectors.joining(File.pathSeparator));
    }
    return System.getProperty("java.class.path");
  }

  private static void ours(Path shoot) throws IOException {
    List<String> names = names(shoot);
    FrameReader reader = new FrameReader();
    AtomicLong pictures = new AtomicLong();
    new ReadingPool<Boolean>(
            Runtime.getRuntime().availableProcessors(),
            names.size(),
            (i, budget) -> {
              Path file = Path.of(names.get(i));
              Reading r = reader.read(file.getFileName().toString(), file, budget, stamp -> {});
              boolean whole = r.frame() != null && r.frame().picture().small() != null;
              pictures.addAndGet(whole ? 1 : 0);
              return true;
            },
            i -> false,
            ReadProgress.NONE)
        .run();
    if (pictures.get() < names.size() / 2) {
      throw new IllegalStateException(pictures + " of " + names.size() + " with pixels");
    }
  }

  private static void library(Path shoot) throws Exception {
    for (String name : names(shoot)) {
      Metadata m = ImageMetadataReader.readMetadata(new File(name));
      if (m.getDirectoryCount() == 0) {
        throw new IllegalStateException("nothing was read of " + name);
      }
    }
  }
}
