package samelight.engine.sidecar;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.Disk;

/**
 * Side by side in one run: a carry of 60 properties onto 4,000 sidecars (read, parse, plan,
 * journal, write durably) against a loop that only writes and forces the same bytes, file by file.
 * Five alternations; prints both times with the processor's, their ratio, and how many forces a
 * sidecar took.
 *
 * <p>{@code mvn -q -pl engine test-compile exec:java -Dexec.classpathScope=test
 * -Dexec.mainClass=samelight.engine.sidecar.SidecarSpeed -Dexec.args=FOLDER}, with {@code
 * MAVEN_OPTS=-XX:+UseSerialGC} as the launcher has it; the folder should be on the drive in
 * question. {@code "FOLDER 4000 own-shapes"} gives each sidecar a shape of its own, so that the XMP
 * toolkit is asked about every one of them: the worst case.
 */
public final class SidecarSpeed {
  private static final int SIDECARS = 4000;
  private static final int PROPERTIES = 60;
  private static final int ROUNDS = 5;

  private SidecarSpeed() {}

  /** Counts forces. */
  private static final class Counting implements Disk {
    final AtomicInteger forces = new AtomicInteger();

    @Override
    public void writeNew(Path file, byte[] bytes, @Nullable Path like) throws IOException {
      forces.incrementAndGet();
      REAL.writeNew(file, bytes, like);
    }

    @Override
    public void append(Path file, byte[] bytes) throws IOException {
      forces.incrementAndGet();
      REAL.append(file, bytes);
    }

    @Override
    public void rename(Path source, Path target) throws IOException {
      REAL.rename(source, target);
    }

    @Override
    public void delete(Path file) throws IOException {
      REAL.delete(file);
    }

    @Override
    public void makeFolders(Path folder) throws IOException {
      REAL.makeFolders(folder);
    }

    @Override
    public void forceFolder(Path folder) throws IOException {
      forces.incrementAndGet();
      REAL.forceFolder(folder);
    }
  }

  /** Runs the comparison. */
  public static void main(String[] args) throws IOException {
    Path base = Files.createTempDirectory(Path.of(args[0]), "samelight-speed");
    int sidecars = args.length > 1 ? Integer.parseInt(args[1]) : SIDECARS;
    boolean ownShapes = args.length > 2 && args[2].equals("own-shapes");
    List<Double> ratios = new ArrayList<>();
    for (int round = 0; round < ROUNDS; round++) {
      Path shoot = base.resolve("shoot" + round);
      Fixture f = prepare(shoot, sidecars, ownShapes);
      Counting disk = new Counting();
      long busy = processor();
      long t0 = System.nanoTime();
      CarryResult result;
      double planned;
      try (SidecarSession session = SidecarSession.open(shoot, disk)) {
        CarryPlan plan = CarryPlan.of(f.request());
        planned = (System.nanoTime() - t0) / 1e9;
        result = Carry.run(session, plan, Progress.NONE);
      }
      double carry = (System.nanoTime() - t0) / 1e9;
      double carryBusy = (processor() - busy) / 1e9;
      if (result.count(Outcome.WRITTEN) != sidecars) {
        throw new IllegalStateException(result.counts().toString());
      }
      List<byte[]> same = new ArrayList<>();
      for (FrameOutcome o : result.outcomes()) {
        same.add(Files.readAllBytes(shoot.resolve(String.valueOf(o.sidecar()))));
      }
      Path plain = Files.createDirectory(base.resolve("plain" + round));
      busy = processor();
      long t1 = System.nanoTime();
      for (int i = 0; i < same.size(); i++) {
        try (FileChannel c =
            FileChannel.open(
                plain.resolve(i + ".xmp"),
                StandardOpenOption.CREATE_NEW,
                StandardOpenOption.WRITE)) {
          c.write(ByteBuffer.wrap(same.get(i)));
          c.force(true);
        }
      }
      double loop = (System.nanoTime() - t1) / 1e9;
      double loopBusy = (processor() - busy) / 1e9;
      ratios.add(carry / loop);
      System.out.printf(
          "round %d: carry %.2f s (plan %.2f s, processor %.2f s), plain loop %.2f s (%.2f s), ratio %.2f;"
              + " %.4f forces a sidecar, %d bytes%n",
          round + 1,
          carry,
          planned,
          carryBusy,
          loop,
          loopBusy,
          carry / loop,
          disk.forces.get() / (double) sidecars,
          same.get(sidecars - 1).length);
    }
    ratios.sort(Comparator.naturalOrder());
    System.out.printf("median ratio %.2f%n", ratios.get(ROUNDS / 2));
    try (Stream<Path> all = Files.walk(base)) {
      for (Path p : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(p);
      }
    }
  }

  /** Processor time of this process so far, ns, compiling of byte code included. */
  private static long processor() {
    return ((com.sun.management.OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean())
        .getProcessCpuTime();
  }

  private static Fixture prepare(Path shoot, int sidecars, boolean ownShapes) {
    String[] files = new String[sidecars];
    for (int i = 0; i < sidecars; i++) {
      files[i] = (i % 2 == 0 ? "body-a" : "body-b") + "/F_" + i + ".DNG";
    }
    Fixture f = Fixture.of(shoot, files);
    StringBuilder sixty = new StringBuilder();
    for (int i = 0; i < PROPERTIES - 4; i++) {
      sixty.append("\n   ed:Property").append(i).append("=\"").append(i * 7).append('"');
    }
    f.write(
        "body-a/F_0.xmp",
        Fixture.sidecar("+0.35", "5000")
            .replace(" ed:Speckle=\"12\"", " ed:Speckle=\"12\"" + sixty));
    for (int i = 1; i < sidecars; i++) {
      f.write(
          files[i].replace(".DNG", ".xmp"),
          """
          <x:xmpmeta xmlns:x="adobe:ns:meta/">
           <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
            <rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
              xmlns:dc="http://purl.org/dc/elements/1.1/" xmp:Rating="3">
             <dc:subject><rdf:Bag><rdf:li>garden</rdf:li><rdf:li>%d</rdf:li></rdf:Bag></dc:subject>
            </rdf:Description>
           </rdf:RDF>
          </x:xmpmeta>%s
          """
              .formatted(i, ownShapes ? "<!-- " + i + " -->" : ""));
    }
    for (int i = 1; i < sidecars; i++) {
      f.match(files[i], files[0], (i % 40) * 0.05 - 1, i % 30, i % 9 == 0 ? "mixed light" : "sun");
    }
    return f;
  }
}
