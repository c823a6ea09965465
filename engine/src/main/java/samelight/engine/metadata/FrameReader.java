package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import javax.xml.stream.XMLStreamException;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Flash;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Marks;
import samelight.engine.frame.Optics;
import samelight.engine.frame.Picture;
import samelight.engine.frame.WhiteBalance;

/** Reads one file as a frame. May be used by several threads at once. */
public final class FrameReader {
  private static final List<Container> CONTAINERS =
      List.of(
          new JpegFile(),
          new TiffFile(),
          new Cr3File(),
          new RafFile(),
          new HeifFile(),
          new MrwFile());

  private static final String LEFT_OUT = "left out: not a frame";
  private static final String KEPT = "read what there was";

  // Frames of one body share these texts; 100,000 frames must fit into memory.
  private final Map<Object, Object> shared = new ConcurrentHashMap<>();

  /**
   * Reads a file.
   *
   * @param shoot the shoot's folder; paths in the result are relative to it
   * @param file a file under it
   * @return the frame, or the findings that say why there is none; never throws for what is in a
   *     file
   */
  public Reading read(Path shoot, Path file) {
    return read(ShootFiles.name(shoot, file), file);
  }

  /**
   * The XMP packet inside a frame's file, as it stands there.
   *
   * @param file a picture of a kind that is read
   * @return empty where there is none, or where the file can't be understood
   */
  public static Optional<byte[]> xmpPacket(Path file) {
    try (ByteSource source = ByteSource.open(file, new Budget())) {
      byte[] head = source.head(32);
      for (Container c : CONTAINERS) {
        if (c.matches(head)) {
          Collected collected = new Collected();
          c.read(source, collected);
          return Optional.ofNullable(collected.xmp);
        }
      }
      return Optional.empty();
    } catch (IOException | RuntimeException | StackOverflowError | OutOfMemoryError e) {
      return Optional.empty();
    }
  }

  Reading read(String name, Path file) {
    return read(name, file, new Budget(), stamp -> {});
  }

  /**
   * Reads a file and tells its stamp once its head was read.
   *
   * @param budget what it may cost; the caller may watch it
   */
  Reading read(String name, Path file, Budget budget, Consumer<FileStamp> stamped) {
    try {
      BasicFileAttributes a =
          Files.readAttributes(file, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS);
      if (!a.isRegularFile()) {
        String what = a.isDirectory() ? "a folder" : a.isSymbolicLink() ? "a link" : "a device";
        return none(name, "a regular file", what);
      }
      if (a.size() == 0) {
        return none(name, "a picture's bytes", "an empty file");
      }
      try (ByteSource source = ByteSource.open(file, budget)) {
        stamped.accept(HeadHash.stamp(source, a.lastModifiedTime().toMillis()));
        return read(name, source);
      }
    } catch (NoSuchFileException e) {
      return none(name, "a file that stays while it is read", "it is gone");
    } catch (IOException e) {
      return none(name, "a file that can be read", describe(e));
    } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
      return none(name, "a file that the reader understands", describe(e));
    }
  }

  Reading read(String name, ByteSource source) throws IOException {
    byte[] head = source.head(32);
    Container container = null;
    for (Container c : CONTAINERS) {
      if (c.matches(head)) {
        container = c;
        break;
      }
    }
    if (container == null) {
      return none(name, "a picture of a kind that is read", startsWith(head));
    }
    Collected file = new Collected();
    List<Finding> findings = new ArrayList<>();
    try {
      container.read(source, file);
    } catch (IOException | RuntimeException | StackOverflowError | OutOfMemoryError e) {
      // What was read before stays: a capture time is worth more than a clean end.
      file.problem("directories readable to their end", describe(e));
    }
    if (file.width <= 0 && !hasTags(file)) {
      for (Collected.Problem p : file.problems) {
        findings.add(problem(name, p, LEFT_OUT));
      }
      findings.add(new Finding(name, null, "a picture with a size or tags", "neither", LEFT_OUT));
      return new Reading(null, findings);
    }
    SmallPicture.Result small = small(source, file);
    Frame frame = frame(name, file, small, findings, source.budget());
    return new Reading(frame, frame.findings());
  }

  private static boolean hasTags(Collected file) {
    for (Directory d : file.directories) {
      if (d.hasEntries()) {
        return true;
      }
    }
    return false;
  }

  private static SmallPicture.Result small(ByteSource source, Collected file) {
    try {
      return SmallPicture.read(source, file);
    } catch (IOException | RuntimeException | StackOverflowError | OutOfMemoryError e) {
      file.problem("an embedded picture that decodes", describe(e));
      return new SmallPicture.Result(null, null, null, "");
    }
  }

  private Frame frame(
      String name,
      Collected file,
      SmallPicture.Result small,
      List<Finding> findings,
      Budget budget) {
    FrameFields fields = new FrameFields(file);
    BodyId body = share(fields.body());
    CaptureTime time = fields.time();
    CaptureSettings settings = fields.settings();
    Flash flash = fields.flash();
    WhiteBalance balance = fields.whiteBalance(body.make());
    Optics optics = share(fields.optics());
    Marks marks = marks(file, fields, budget);
    if (!small.source().isEmpty()) {
      fields.note("small", small.source().substring(0, small.source().indexOf(' ')));
    }
    if (file.sizeSource != null) {
      fields.note("size", file.sizeSource);
    }
    Picture picture =
        new Picture(
            fields.orientation(),
            file.width,
            file.height,
            small.image(),
            small.smallest(),
            small.largest(),
            fields.maker().brightening());
    for (Collected.Problem p : file.problems) {
      findings.add(problem(name, p, KEPT));
    }
    if (time == null) {
      findings.add(new Finding(name, null, Pairs.TIME_RULE, "none", Pairs.NO_TIME));
    }
    List<String> missing = FrameFields.missing(settings);
    if (!missing.isEmpty()) {
      findings.add(
          new Finding(
              name,
              null,
              "exposure settings present (Exif)",
              "no " + String.join(", no ", missing),
              "no exposure value"));
    }
    if (small.image() == null) {
      findings.add(
          new Finding(
              name,
              null,
              "a thumbnail or preview that can be decoded",
              file.noPixels == null ? "none" : file.noPixels,
              "brightness unknown"));
    }
    Map<String, String> sources = Map.copyOf(fields.provenance());
    Map<String, String> provenance = share(sources, sources);
    return new Frame(
        name,
        null,
        body,
        time,
        settings,
        flash,
        balance,
        optics,
        picture,
        marks,
        provenance,
        findings);
  }

  private static Marks marks(Collected file, FrameFields fields, Budget budget) {
    EmbeddedXmp xmp = EmbeddedXmp.NONE;
    byte[] packet = file.xmp;
    if (packet != null) {
      try {
        xmp = EmbeddedXmp.read(packet, budget);
      } catch (XMLStreamException | RuntimeException | StackOverflowError e) {
        file.problem("embedded XMP well-formed (ISO 16684-1)", describe(e));
      }
    }
    if (xmp.rating() != null) {
      fields.note("rating", "XMP xmp:Rating");
    }
    if (xmp.label() != null) {
      fields.note("label", "XMP xmp:Label");
    }
    return fields.maker().marks(xmp.rating(), xmp.label(), file.width, file.height);
  }

  // By texts: Java makes the hash code of a record at run time, which costs each start.
  private BodyId share(BodyId b) {
    return share("body\n" + b.make() + '\n' + b.model() + '\n' + b.serial(), b);
  }

  private Optics share(Optics o) {
    return share("optics\n" + o.lens() + '\n' + o.focalLengthMm(), o);
  }

  /** One value for all that have the same key. */
  private <T> T share(Object key, T value) {
    if (shared.size() > 10_000) {
      return value;
    }
    Object known = shared.putIfAbsent(key, value);
    @SuppressWarnings("unchecked") // values of one key are of one class
    T kept = known == null ? value : (T) known;
    return kept;
  }

  private static Finding problem(String name, Collected.Problem p, String action) {
    return new Finding(name, p.offset(), p.rule(), p.actual(), action);
  }

  private static Reading none(String name, String rule, String actual) {
    return new Reading(null, List.of(new Finding(name, null, rule, actual, LEFT_OUT)));
  }

  private static String startsWith(byte[] head) {
    StringBuilder hex = new StringBuilder("a file that starts with");
    for (int i = 0; i < Math.min(8, head.length); i++) {
      hex.append(String.format(" %02X", head[i]));
    }
    return hex.toString();
  }

  static String describe(@Nullable Throwable e) {
    if (e == null) {
      return "unknown";
    }
    String m = e.getMessage();
    String what = e.getClass().getSimpleName();
    return m == null ? what : FrameFields.clean(what + ": " + m);
  }
}
