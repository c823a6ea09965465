package samelight.engine.sidecar;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;

/**
 * Which sidecar each frame has or gets. {@code NAME.xmp} and {@code NAME.EXT.xmp} are both
 * followed: an existing sidecar keeps its name, a new one is named as most of its folder's are,
 * else as most of the shoot's, else {@code NAME.xmp}. In a raw+JPEG pair, and where a raw and a
 * JPEG share a stem, {@code NAME.xmp} is the raw's.
 */
public final class Sidecars {
  private final Map<String, String> paths = new HashMap<>();
  private final Set<String> existing = new HashSet<>();
  private final List<String> extra = new ArrayList<>();
  private final List<String> leftOver = new ArrayList<>();
  private boolean mixes;

  private Sidecars() {}

  /**
   * Looks at the folders of these frames.
   *
   * @param shoot the shoot's folder
   * @param frames all frames of the shoot
   * @throws samelight.engine.files.RefusedInputException if a folder can't be read
   */
  public static Sidecars of(Path shoot, List<Frame> frames) {
    ShootPaths paths = ShootPaths.of(shoot);
    Sidecars result = new Sidecars();
    Map<String, List<Frame>> folders = new HashMap<>();
    for (Frame f : frames) {
      folders.computeIfAbsent(folder(f.file()), k -> new ArrayList<>()).add(f);
    }
    Votes all = new Votes();
    TreeMap<String, Folder> found = new TreeMap<>();
    for (Map.Entry<String, List<Frame>> e : folders.entrySet()) {
      Folder folder = new Folder(e.getKey(), e.getValue(), names(paths, e.getKey()));
      found.put(e.getKey(), folder);
      all.add(folder.votes());
    }
    result.mixes = all.shorter > 0 && all.longer > 0;
    for (Folder folder : found.values()) {
      folder.assign(all, result);
    }
    return result;
  }

  /**
   * Path, relative to the shoot, of the sidecar that a frame of the shoot has or would get.
   *
   * @throws IllegalArgumentException if the frame isn't one of the shoot's
   */
  public String pathFor(Frame frame) {
    String path = paths.get(frame.file());
    if (path == null) {
      throw new IllegalArgumentException("frame must be one of the shoot, was " + frame.file());
    }
    return path;
  }

  /** The sidecar that a frame has; empty where it has none. */
  public Optional<String> existing(Frame frame) {
    String path = pathFor(frame);
    return existing.contains(path) ? Optional.of(path) : Optional.empty();
  }

  /**
   * Sidecars of a frame's stem that are not its sidecar, as of second renderings. Never touched.
   */
  public List<String> extra() {
    return List.copyOf(extra);
  }

  /** Sidecars in these folders that belong to no frame. Never touched. */
  public List<String> leftOver() {
    return List.copyOf(leftOver);
  }

  /** Whether the shoot has sidecars of both forms of name. */
  public boolean mixesConventions() {
    return mixes;
  }

  private static Set<String> names(ShootPaths paths, String folder) {
    TreeSet<String> names = new TreeSet<>();
    Path path = folder.isEmpty() ? paths.root() : paths.root().resolve(folder);
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(path)) {
      for (Path entry : entries) {
        String name = String.valueOf(entry.getFileName());
        if (SidecarFile.named(name)) {
          names.add(name);
        }
      }
    } catch (NoSuchFileException e) {
      return names; // frames that never touched a disk
    } catch (IOException | java.nio.file.DirectoryIteratorException e) {
      IOException cause = e instanceof IOException io ? io : new IOException(e);
      throw new RefusedInputException(
          path.toString(),
          "must be a folder that can be read",
          DurableFile.reasonOf(cause),
          "Check its permissions",
          e);
    }
    return names;
  }

  private static String folder(String file) {
    int slash = file.lastIndexOf('/');
    return slash < 0 ? "" : file.substring(0, slash);
  }

  private static String name(String file) {
    return file.substring(file.lastIndexOf('/') + 1);
  }

  /** How many sidecars are named in which way. */
  private static final class Votes {
    int shorter;
    int longer;
    int upper;
    int lower;

    void add(Votes other) {
      shorter += other.shorter;
      longer += other.longer;
      upper += other.upper;
      lower += other.lower;
    }

    void vote(boolean isLonger, String name) {
      if (isLonger) {
        longer++;
      } else {
        shorter++;
      }
      if (name.endsWith(".XMP")) {
        upper++;
      } else {
        lower++;
      }
    }
  }

  private static final class Folder {
    private final String folder;
    private final List<Frame> frames;
    private final Set<String> names;
    private final Map<String, List<Frame>> stems = new HashMap<>();

    Folder(String folder, List<Frame> frames, Set<String> names) {
      this.folder = folder;
      this.frames = frames;
      this.names = names;
      for (Frame f : frames) {
        stems.computeIfAbsent(f.stem(), k -> new ArrayList<>()).add(f);
      }
    }

    Votes votes() {
      Votes votes = new Votes();
      for (Frame f : frames) {
        Optional<String> longer = find(name(f.file()));
        Optional<String> shorter = ownsStem(f) ? find(f.stem()) : Optional.empty();
        longer.ifPresent(n -> votes.vote(true, n));
        shorter.ifPresent(n -> votes.vote(false, n));
      }
      return votes;
    }

    void assign(Votes all, Sidecars result) {
      Votes own = votes();
      boolean none = own.longer == own.shorter;
      boolean longer = none ? all.longer > all.shorter : own.longer > own.shorter;
      boolean noneCase = own.upper == own.lower;
      String ending = (noneCase ? all.upper > all.lower : own.upper > own.lower) ? ".XMP" : ".xmp";
      Set<String> used = new HashSet<>();
      for (Frame f : frames) {
        Optional<String> longName = find(name(f.file()));
        Optional<String> shortName = ownsStem(f) ? find(f.stem()) : Optional.empty();
        Optional<String> has = longer ? longName.or(() -> shortName) : shortName.or(() -> longName);
        String name =
            has.orElseGet(() -> (longer || !ownsStem(f) ? name(f.file()) : f.stem()) + ending);
        String path = folder.isEmpty() ? name : folder + "/" + name;
        result.paths.put(f.file(), path);
        if (has.isPresent()) {
          used.add(name);
          result.existing.add(path);
        }
      }
      for (String name : names) {
        if (!used.contains(name)) {
          String path = folder.isEmpty() ? name : folder + "/" + name;
          (ofStem(name) ? result.extra : result.leftOver).add(path);
        }
      }
    }

    private Optional<String> find(String base) {
      if (names.contains(base + ".xmp")) {
        return Optional.of(base + ".xmp");
      }
      for (String ending : List.of(".XMP", ".Xmp")) {
        if (names.contains(base + ending)) {
          return Optional.of(base + ending);
        }
      }
      return Optional.empty();
    }

    /** Whether NAME.xmp is this frame's: it is alone with its stem, or the only raw. */
    private boolean ownsStem(Frame f) {
      List<Frame> same = stems.getOrDefault(f.stem(), List.of());
      if (same.size() <= 1) {
        return true;
      }
      return !f.jpeg() && same.stream().filter(o -> !o.jpeg()).count() == 1;
    }

    private boolean ofStem(String name) {
      for (int i = 1; i < name.length(); i++) {
        if (!Character.isLetterOrDigit(name.charAt(i)) && stems.containsKey(name.substring(0, i))) {
          return true;
        }
      }
      return false;
    }
  }
}
