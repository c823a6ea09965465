package samelight.engine.store;

import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.FrameLight;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Picture;
import samelight.engine.frame.SmallImage;
import samelight.engine.metadata.FileStamp;
import samelight.engine.metadata.ReadingCache;
import samelight.engine.metadata.ShootReader;
import samelight.engine.metadata.ShootReading;
import samelight.engine.quantity.Ev;

/**
 * What was read of a shoot, kept in {@code samelight/frames.json} and {@code small-images.bin}. As
 * a {@link ReadingCache} it spares the next reading what didn't change, and it moves the pixels of
 * what is read anew out of the heap.
 *
 * <p>The caller holds the shoot's lock. Safe for use by several threads while a shoot is read.
 */
public final class FrameStore implements ReadingCache {
  /** Where it lies, relative to the shoot. */
  public static final String NAME = "samelight/frames.json";

  /** Where the small images lie, relative to the shoot. */
  public static final String PIXELS = PixelFile.NAME;

  /** When more than this share of the pixel file is no longer used, it is begun anew. */
  private static final double MOST_WASTE = 0.5;

  private static final long WASTE_IGNORED = 64L << 20;

  private final ShootPaths shoot;
  private final PixelFile pixels;
  private final Map<String, ReadingCache.Known> known;
  private final Map<String, PixelFile.Slot> slots;
  private final @Nullable String setAside;

  private FrameStore(
      ShootPaths shoot,
      PixelFile pixels,
      Map<String, ReadingCache.Known> known,
      Map<String, PixelFile.Slot> slots,
      @Nullable String setAside) {
    this.shoot = shoot;
    this.pixels = pixels;
    this.known = known;
    this.slots = new ConcurrentHashMap<>(slots);
    this.setAside = setAside;
  }

  /** Whether the shoot has been read before. */
  public static boolean exists(ShootPaths shoot) {
    return Files.exists(shoot.resolve(NAME), LinkOption.NOFOLLOW_LINKS);
  }

  /**
   * Opens the store of a shoot for a new reading. What can't be used is set aside and read anew;
   * what another edition of the reader read is read again.
   *
   * @throws RefusedInputException if one of the files is a link
   */
  public static FrameStore open(ShootPaths shoot) {
    String problem = null;
    PixelFile pixels = PixelFile.open(shoot);
    if (exists(shoot)) {
      try {
        FramesReader.Content content = FramesReader.read(shoot.resolve(NAME));
        if (pixels != null && pixels.id().equals(content.pixelId()) && !wasteful(pixels, content)) {
          return content.edition() == ShootReader.EDITION
              ? new FrameStore(shoot, pixels, knownOf(content, pixels), content.slots(), null)
              : new FrameStore(shoot, pixels, Map.of(), Map.of(), null);
        }
      } catch (RefusedInputException e) {
        problem = e.getMessage();
      }
    }
    return new FrameStore(shoot, PixelFile.begin(shoot), Map.of(), Map.of(), problem);
  }

  /**
   * What was read, without reading any frame again.
   *
   * @param pixels whether the small images are wanted too
   * @throws RefusedInputException if it is missing or damaged; the message says what to do
   */
  public static ShootReading load(ShootPaths shoot, boolean pixels) {
    FramesReader.Content content = FramesReader.read(shoot.resolve(NAME));
    PixelFile file = pixels ? PixelFile.open(shoot) : null;
    List<Frame> frames = new ArrayList<>(content.frames().size());
    for (Frame frame : content.frames()) {
      PixelFile.Slot slot = content.slots().get(frame.file());
      if (slot == null || !pixels) {
        frames.add(frame);
        continue;
      }
      if (file == null || !file.id().equals(content.pixelId()) || !file.sound(slot)) {
        throw new RefusedInputException(
            shoot.root().resolve(PixelFile.NAME).toString(),
            "must hold the small images that " + NAME + " tells of",
            file == null ? "no such file" : "other bytes",
            "Run `samelight group` on the shoot: it reads the frames again");
      }
      frames.add(withSmall(frame, file.image(slot)));
    }
    return new ShootReading(frames, content.files(), content.stamps(), content.findings());
  }

  /**
   * What was read, to be shown at once: the small images are fetched when looked at, and their
   * checksums are not.
   *
   * @param reading as {@link #load} gives it
   * @param light light of each frame's scene in EV100, where it is known
   */
  public record Kept(ShootReading reading, Map<String, Ev> light) {}

  /**
   * What was read, to be shown at once.
   *
   * @throws RefusedInputException if {@code frames.json} is missing or damaged
   */
  public static Kept show(ShootPaths shoot) {
    FramesReader.Content content = FramesReader.read(shoot.resolve(NAME));
    PixelFile file = PixelFile.open(shoot);
    boolean fits = file != null && file.id().equals(content.pixelId());
    List<Frame> frames = new ArrayList<>(content.frames().size());
    for (Frame frame : content.frames()) {
      PixelFile.Slot slot = content.slots().get(frame.file());
      frames.add(
          slot == null || file == null || !fits ? frame : withSmall(frame, file.image(slot)));
    }
    Map<String, Ev> light = new HashMap<>();
    content.light().forEach((f, stops) -> light.put(f, new Ev(stops)));
    return new Kept(
        new ShootReading(frames, content.files(), content.stamps(), content.findings()), light);
  }

  /** Why what was kept couldn't be used, or null. */
  public @Nullable String setAside() {
    return setAside;
  }

  @Override
  public ReadingCache.@Nullable Known known(String file) {
    return known.get(file);
  }

  @Override
  public Frame keep(Frame read) {
    SmallImage small = read.picture().small();
    if (small == null) {
      slots.remove(read.file());
      return read;
    }
    PixelFile.Slot slot = pixels.add(small);
    slots.put(read.file(), slot);
    return withSmall(read, pixels.image(slot));
  }

  /**
   * Keeps a reading durably: the pixels first, then {@code frames.json}.
   *
   * @param light what photometry says of each frame, by frame
   * @throws samelight.engine.files.CouldNotWriteException if that fails; what was kept before is
   *     then still whole
   */
  public void write(ShootReading reading, Map<String, FrameLight> light) {
    Map<String, PixelFile.Slot> used = new HashMap<>();
    for (Frame frame : reading.frames()) {
      SmallImage small = frame.picture().small();
      if (small != null) {
        PixelFile.Slot slot = slots.get(frame.file());
        used.put(frame.file(), slot == null ? pixels.add(small) : slot);
      }
    }
    pixels.flush();
    DurableFile.write(
        shoot.resolve(NAME),
        out ->
            JsonOut.write(
                out, json -> FramesWriter.document(json, reading, light, used, pixels.id())));
  }

  private static boolean wasteful(PixelFile pixels, FramesReader.Content content) {
    long live = content.slots().values().stream().mapToLong(PixelFile.Slot::length).sum();
    long waste = pixels.size() - live;
    return waste > WASTE_IGNORED && waste > MOST_WASTE * pixels.size();
  }

  private static Map<String, ReadingCache.Known> knownOf(
      FramesReader.Content content, PixelFile pixels) {
    Map<String, ReadingCache.Known> known = new HashMap<>();
    Map<String, List<Finding>> findings = new HashMap<>();
    for (Finding finding : content.findings()) {
      findings.computeIfAbsent(finding.file(), f -> new ArrayList<>()).add(finding);
    }
    content
        .stamps()
        .forEach(
            (file, stamp) ->
                known.put(file, new Known(stamp, null, findings.getOrDefault(file, List.of()))));
    for (Frame frame : content.frames()) {
      FileStamp stamp = content.stamps().get(frame.file());
      PixelFile.Slot slot = content.slots().get(frame.file());
      if (stamp == null || (slot != null && !pixels.sound(slot))) {
        known.remove(frame.file());
        continue;
      }
      Frame whole = slot == null ? frame : withSmall(frame, pixels.image(slot));
      known.put(frame.file(), new Known(stamp, whole, whole.findings()));
    }
    return known;
  }

  private static Frame withSmall(Frame frame, SmallImage small) {
    var p = frame.picture();
    return new Frame(
        frame.file(),
        frame.paired(),
        frame.body(),
        frame.time(),
        frame.settings(),
        frame.flash(),
        frame.whiteBalance(),
        frame.optics(),
        new Picture(
            p.orientation(),
            p.width(),
            p.height(),
            small,
            p.smallest(),
            p.largest(),
            p.brightening()),
        frame.marks(),
        frame.provenance(),
        frame.findings());
  }
}
