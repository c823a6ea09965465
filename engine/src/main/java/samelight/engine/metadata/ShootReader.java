package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicReference;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.metadata.ShootFiles.Candidate;

/** Reads a shoot: all frames under a folder, and what else lies there. */
public final class ShootReader {
  private final FrameReader reader = new FrameReader();

  /**
   * Counts what readers read: raised whenever one reads more, or otherwise. What another one read
   * is read again.
   */
  public static final int EDITION = 2;

  private final int threads;

  /** Reads on all cores. */
  public ShootReader() {
    this(Runtime.getRuntime().availableProcessors());
  }

  ShootReader(int threads) {
    this.threads = threads;
  }

  /**
   * One candidate, read or known.
   *
   * @param frame null where there is none, or where the file is the JPEG of a kept pair
   * @param unchanged whether an earlier run's word was taken
   * @param pairOf the raw whose pair the file was and may still be, or null
   */
  private record Item(
      @Nullable FileStamp stamp,
      @Nullable Frame frame,
      List<Finding> findings,
      boolean unchanged,
      @Nullable String pairOf) {}

  /**
   * Reads a shoot. The folder {@code samelight} at its top is ours and isn't looked into; links are
   * not followed.
   *
   * @param shoot an existing folder
   * @param known what an earlier run read
   * @param progress told how far it is
   * @return frames, files and findings, in the order of their paths
   * @throws NoSuchShootException if {@code shoot} isn't a folder that can be listed
   * @throws IOException if listing fails on the way
   */
  public ShootReading read(Path shoot, ReadingCache known, ReadProgress progress)
      throws IOException {
    if (!Files.isDirectory(shoot)) {
      throw new NoSuchShootException(
          shoot, Files.exists(shoot) ? "not a folder" : "no such folder");
    }
    return read(ShootFiles.list(shoot.toRealPath()), known, progress);
  }

  /** Reads what was listed; the order of its candidates doesn't matter. */
  ShootReading read(ShootFiles.Listing listing, ReadingCache known, ReadProgress progress) {
    List<Candidate> candidates = listing.candidates();
    Map<String, String> pairs = knownPairs(candidates, known);
    List<Item> items = new ArrayList<>(run(candidates, known, pairs, progress));
    Map<String, String> kept = keepPairs(candidates, items, known);

    TreeMap<String, Frame> frames = new TreeMap<>();
    SortedMap<String, FileStamp> stamps = new TreeMap<>();
    List<Finding> findings = new ArrayList<>(listing.findings());
    for (int i = 0; i < items.size(); i++) {
      String name = candidates.get(i).name();
      Item item = items.get(i);
      if (item.stamp != null) {
        stamps.put(name, item.stamp);
      }
      if (item.frame != null) {
        frames.put(name, item.frame);
      } else {
        findings.addAll(item.findings);
      }
    }
    Map<String, String> joined = Pairs.join(frames, findings);
    kept.forEach(
        (jpeg, raw) -> {
          joined.put(jpeg, raw);
          frames.computeIfPresent(raw, (n, f) -> f.paired() == null ? f.withPaired(jpeg) : f);
        });
    Pairs.placeByName(frames);

    SortedMap<String, Category> files = new TreeMap<>(listing.files());
    frames.keySet().forEach(n -> files.put(n, Category.FRAME));
    joined.keySet().forEach(n -> files.put(n, Category.PAIRED_JPEG));
    List<Frame> bodies = Bodies.tellApart(new ArrayList<>(frames.values()));
    bodies.forEach(f -> findings.addAll(f.findings()));
    findings.sort(Comparator.comparing(Finding::file));
    return new ShootReading(bodies, files, stamps, findings);
  }

  private List<Item> run(
      List<Candidate> candidates,
      ReadingCache known,
      Map<String, String> pairs,
      ReadProgress progress) {
    return new ReadingPool<Item>(
            threads,
            candidates.size(),
            (i, budget) -> item(candidates.get(i), known, pairs, budget),
            i -> stuck(candidates.get(i)),
            progress)
        .run();
  }

  /** For each JPEG that stood in a pair, its raw. */
  private static Map<String, String> knownPairs(List<Candidate> candidates, ReadingCache known) {
    Map<String, String> pairs = new HashMap<>();
    for (Candidate c : candidates) {
      if (ShootFiles.raw(c.name())) {
        ReadingCache.Known k = known.known(c.name());
        String paired = k == null || k.frame() == null ? null : k.frame().paired();
        if (paired != null) {
          pairs.put(paired, c.name());
        }
      }
    }
    return pairs;
  }

  /** Keeps pairs of which neither file changed; reads the JPEGs of the others. */
  private Map<String, String> keepPairs(
      List<Candidate> candidates, List<Item> items, ReadingCache known) {
    Map<String, Integer> index = new HashMap<>();
    for (int i = 0; i < items.size(); i++) {
      index.put(candidates.get(i).name(), i);
    }
    Map<String, String> kept = new TreeMap<>();
    List<Integer> again = new ArrayList<>();
    for (int i = 0; i < items.size(); i++) {
      String raw = items.get(i).pairOf;
      if (raw == null) {
        continue;
      }
      Integer at = index.get(raw);
      if (at != null && items.get(at).unchanged) {
        kept.put(candidates.get(i).name(), raw);
      } else {
        again.add(i);
      }
    }
    List<Candidate> list = again.stream().map(candidates::get).toList();
    List<Item> read = run(list, f -> null, Map.of(), ReadProgress.NONE);
    for (int i = 0; i < read.size(); i++) {
      Item r = read.get(i);
      Frame f = r.frame;
      items.set(
          again.get(i),
          f == null ? r : new Item(r.stamp, known.keep(f), r.findings, r.unchanged, r.pairOf));
    }
    return kept;
  }

  private Item item(Candidate c, ReadingCache known, Map<String, String> pairs, Budget budget) {
    ReadingCache.Known k = known.known(c.name());
    if (k != null
        && k.stamp().size() == c.size()
        && k.stamp().modifiedMillis() == c.modifiedMillis()) {
      String raw = k.frame() == null ? pairs.get(c.name()) : null;
      if (k.frame() != null || raw != null || !k.findings().isEmpty()) {
        try {
          budget.beginWait();
          FileStamp now = HeadHash.stamp(c.path(), c.size(), c.modifiedMillis());
          budget.endWait();
          if (now.equals(k.stamp())) {
            Frame f = k.frame() == null ? null : Pairs.alone(Bodies.own(k.frame()));
            return new Item(now, f, k.findings(), true, raw);
          }
        } catch (IOException e) {
          budget.endWait();
          // Reading it says what is wrong.
        }
      }
    }
    AtomicReference<@Nullable FileStamp> stamp = new AtomicReference<>();
    Reading r = reader.read(c.name(), c.path(), budget, stamp::set);
    Frame f = r.frame();
    return new Item(stamp.get(), f == null ? null : known.keep(f), r.findings(), false, null);
  }

  private static Item stuck(Candidate c) {
    return new Item(
        null,
        null,
        List.of(
            new Finding(
                c.name(),
                null,
                "a file that can be read within " + Budget.NANOS / 1_000_000_000 + " s",
                "not done by then",
                "left out: not a frame")),
        false,
        null);
  }
}
