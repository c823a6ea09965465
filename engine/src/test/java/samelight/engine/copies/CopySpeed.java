package samelight.engine.copies;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;

/**
 * Side by side in one run: {@link Secure} against {@code cp} + {@code sha256sum} + {@code sha256sum
 * -c}, the same files from one card to two destinations, every copy read back uncached in both. The
 * reference, a shell script: hash the card's files; {@code cp} them to each destination; {@code
 * sync}; drop the destination's files from the page cache with {@code dd iflag=nocache count=0}
 * (POSIX_FADV_DONTNEED); {@code sha256sum -c} in each. Before each of the two the card's files are
 * dropped from the page cache in the same way. Alternates, prints both times and their ratio.
 *
 * <p>{@code mvn -q -pl engine test-compile exec:java -Dexec.classpathScope=test
 * -Dexec.mainClass=samelight.engine.copies.CopySpeed -Dexec.args="FOLDER 4000 3"}: a folder on the
 * drive in question, megabytes, rounds. Needs GNU coreutils.
 */
public final class CopySpeed {
  private static final int FILE_MEGABYTES = 25;

  private CopySpeed() {}

  /** Makes the card, runs both ways in turn, deletes what it made. */
  public static void main(String[] args) throws Exception {
    Path root = Files.createTempDirectory(Path.of(args[0]), "copy-speed-");
    int megabytes = args.length > 1 ? Integer.parseInt(args[1]) : 4000;
    int rounds = args.length > 2 ? Integer.parseInt(args[2]) : 3;
    try {
      Path card = root.resolve("card");
      makeCard(card, megabytes);
      List<Double> ratios = new ArrayList<>();
      for (int i = 0; i < rounds; i++) {
        double reference = reference(root, card);
        double ours = ours(root, card);
        ratios.add(ours / reference);
        System.out.printf(
            "%d MB to two destinations: cp + sha256sum + sha256sum -c %.1f s, secure %.1f s,"
                + " ratio %.2f%n",
            megabytes, reference, ours, ours / reference);
      }
      ratios.sort(Comparator.naturalOrder());
      System.out.printf("median ratio %.2f%n", ratios.get(ratios.size() / 2));
    } finally {
      delete(root);
    }
  }

  private static void makeCard(Path card, int megabytes) throws IOException {
    Path folder = Files.createDirectories(card.resolve("DCIM/100TERNA"));
    byte[] head = Cards.picture(Cards.ONE, 1, 0);
    byte[] noise = new byte[1 << 20];
    Random random = new Random(1);
    for (int i = 0; i * FILE_MEGABYTES < megabytes; i++) {
      Path file = folder.resolve(String.format("TERN%04d.JPG", i + 1));
      try (FileChannel out =
          FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
        out.write(ByteBuffer.wrap(head));
        for (int m = 0; m < FILE_MEGABYTES; m++) {
          random.nextBytes(noise);
          out.write(ByteBuffer.wrap(noise));
        }
        out.force(true);
      }
    }
  }

  private static double reference(Path root, Path card) throws Exception {
    drop(card);
    Path script = root.resolve("reference.sh");
    Files.writeString(
        script,
        """
        set -e
        cd CARD
        find . -type f | sort | xargs -d '\\n' sha256sum > ../sums
        cp -r . ../x
        cp -r . ../y
        cd ..
        sync x/DCIM/100TERNA/* y/DCIM/100TERNA/*
        for f in x/DCIM/100TERNA/* y/DCIM/100TERNA/*; do
          dd if=$f iflag=nocache count=0 status=none
        done
        (cd x && sha256sum -c --quiet ../sums)
        (cd y && sha256sum -c --quiet ../sums)
        """
            .replace("CARD", card.toString()));
    Files.createDirectories(root.resolve("x"));
    Files.createDirectories(root.resolve("y"));
    long began = System.nanoTime();
    run("bash", script.toString());
    double seconds = (System.nanoTime() - began) * 1e-9;
    delete(root.resolve("x"));
    delete(root.resolve("y"));
    run("sync");
    return seconds;
  }

  private static double ours(Path root, Path card) throws Exception {
    drop(card);
    Path a = Files.createDirectories(root.resolve("a"));
    Path b = Files.createDirectories(root.resolve("b"));
    long began = System.nanoTime();
    SecureResult result =
        Secure.run(
            SecureRequest.of(List.of(card), null, List.of(a, b), "speed"), CopyProgress.NONE);
    double seconds = (System.nanoTime() - began) * 1e-9;
    if (!result.cards().get(0).mayBePutAway()
        || !result.places().stream().allMatch(SecureResult.PlaceResult::direct)) {
      throw new IllegalStateException("not all was read back past the page cache: " + result);
    }
    delete(a);
    delete(b);
    run("sync");
    return seconds;
  }

  private static void drop(Path folder) throws Exception {
    run("sync");
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path p : files.filter(Files::isRegularFile).toList()) {
        run("dd", "if=" + p, "iflag=nocache", "count=0", "status=none");
      }
    }
  }

  private static void run(String... command) throws Exception {
    int status = new ProcessBuilder(command).inheritIO().start().waitFor();
    if (status != 0) {
      throw new IllegalStateException(String.join(" ", command) + " ended with " + status);
    }
  }

  private static void delete(Path folder) throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path p : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(p);
      }
    }
  }
}
