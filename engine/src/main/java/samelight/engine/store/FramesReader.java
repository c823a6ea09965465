package samelight.engine.store;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Flash;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Marks;
import samelight.engine.frame.Optics;
import samelight.engine.frame.Picture;
import samelight.engine.frame.WhiteBalance;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Category;
import samelight.engine.metadata.FileStamp;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;
import samelight.engine.quantity.Kelvin;

/**
 * Reads {@code frames.json} strictly; of what photometry added to it only the light of the scene is
 * kept, to be shown: all else is worked out anew.
 */
final class FramesReader {
  private static final String NEXT =
      "Run `samelight group` on the shoot: it reads the frames again";

  /**
   * What the document holds; the frames are without their small images.
   *
   * @param edition {@link samelight.engine.metadata.ShootReader#EDITION} of what read them
   */
  record Content(
      int edition,
      String pixelId,
      List<Frame> frames,
      Map<String, PixelFile.Slot> slots,
      SortedMap<String, Category> files,
      SortedMap<String, FileStamp> stamps,
      List<Finding> findings,
      Map<String, Double> light) {}

  private final JsonIn in;
  private final Map<String, BodyId> bodies = new HashMap<>();
  private final List<Map<String, String>> provenances = new ArrayList<>();
  private final List<Frame> frames = new ArrayList<>();
  private final Map<String, PixelFile.Slot> slots = new HashMap<>();
  private final SortedMap<String, Category> files = new TreeMap<>();
  private final SortedMap<String, FileStamp> stamps = new TreeMap<>();
  private final List<Finding> findings = new ArrayList<>();
  private final Map<String, Double> light = new HashMap<>();
  private String pixelId = "";

  /** The first didn't write it down. */
  private int edition = 1;

  private FramesReader(JsonIn in) {
    this.in = in;
  }

  static Content read(Path file) {
    try (InputStream stream = new BufferedInputStream(Files.newInputStream(file), 1 << 16);
        JsonIn in = new JsonIn(stream, file.toString(), NEXT)) {
      FramesReader r = new FramesReader(in);
      in.document(r::field, "version", "smallImages", "bodies", "provenances", "frames", "others");
      List<Finding> all = new ArrayList<>();
      r.frames.forEach(frame -> all.addAll(frame.findings()));
      all.addAll(r.findings);
      return new Content(r.edition, r.pixelId, r.frames, r.slots, r.files, r.stamps, all, r.light);
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(), "must be a file that can be read", DurableFile.reasonOf(e), NEXT, e);
    }
  }

  private boolean field(String name) throws IOException {
    switch (name) {
      case "version" -> PlanReader.version(in);
      case "reader" -> edition = in.integer(1, Integer.MAX_VALUE);
      case "smallImages" -> pixelId = in.string();
      case "bodies" -> in.array(this::body);
      case "provenances" -> in.array(this::provenance);
      case "frames" -> in.array(this::frame);
      case "others" -> in.array(this::other);
      case "findings" -> in.array(() -> findings.add(PlanReader.finding(in)));
      default -> {
        return false;
      }
    }
    return true;
  }

  private void body() throws IOException {
    var b =
        new Object() {
          String id = "";
          String make = "";
          String model = "";
          @Nullable String serial;
        };
    in.object(
        name -> {
          switch (name) {
            case "id" -> b.id = in.string();
            case "make" -> b.make = in.string();
            case "model" -> b.model = in.string();
            case "serial" -> b.serial = in.stringOrNull();
            default -> {
              return false;
            }
          }
          return true;
        },
        "id",
        "make",
        "model",
        "serial");
    bodies.put(b.id, in.checked(() -> new BodyId(b.id, b.make, b.model, b.serial)));
  }

  private void provenance() throws IOException {
    Map<String, String> provenance = new HashMap<>();
    in.object(
        name -> {
          provenance.put(name, in.sharedString());
          return true;
        });
    provenances.add(Map.copyOf(provenance));
  }

  private void other() throws IOException {
    var o =
        new Object() {
          String file = "";
          Category category = Category.OTHER;
          @Nullable FileStamp stamp;
        };
    in.object(
        name -> {
          switch (name) {
            // Only counted, never opened: any name that a system allows will do.
            case "file" -> o.file = in.string();
            case "category" -> o.category = in.oneOf(Category.class);
            case "stamp" -> o.stamp = stamp();
            default -> {
              return false;
            }
          }
          return true;
        },
        "file",
        "category");
    add(o.file, o.category, o.stamp);
  }

  private void add(String file, Category category, @Nullable FileStamp stamp) {
    if (files.put(file, category) != null) {
      throw in.bad("a file must be listed once", '"' + file + "\" twice");
    }
    if (stamp != null) {
      stamps.put(file, stamp);
    }
  }

  /** The fields of one frame as they come; they may come in any order. */
  private static final class Fields {
    String file = "";
    @Nullable String paired;
    @Nullable Double sceneLight;
    @Nullable BodyId body;
    @Nullable LocalDateTime time;
    @Nullable ZoneOffset offset;
    boolean subSecond;
    @Nullable ExposureTime exposureTime;
    @Nullable FNumber fNumber;
    @Nullable Iso iso;
    @Nullable Ev bias;
    int program;
    int mode = -1;
    int metering;
    @Nullable Flash flash;
    WhitePoint point = WhitePoint.UNKNOWN;
    WhiteBalance.Setting setting = WhiteBalance.Setting.UNKNOWN;
    int lightSource;
    @Nullable String lens;
    @Nullable Double focalLength;
    int orientation = 1;
    int width;
    int height;
    @Nullable EmbeddedJpeg smallest;
    @Nullable EmbeddedJpeg largest;
    @Nullable String brightening;
    PixelFile.@Nullable Slot small;
    @Nullable Double rating;
    @Nullable String label;
    @Nullable Integer sequence;
    @Nullable Double focusX;
    @Nullable Double focusY;
    Map<String, String> provenance = Map.of();
    @Nullable FileStamp stamp;
    final List<Finding> findings = new ArrayList<>();
  }

  private void frame() throws IOException {
    Fields f = new Fields();
    in.object(
        name -> exposure(f, name) || picture(f, name) || marks(f, name),
        "file",
        "paired",
        "body",
        "capturedAt",
        "exposureTimeSeconds",
        "fNumber",
        "iso",
        "exposureBiasEv",
        "flashFired",
        "whitePoint",
        "orientation",
        "findings");
    BodyId body = f.body;
    if (body == null) {
      throw in.bad("a frame must have a body", "none");
    }
    Frame frame =
        in.checked(
            () ->
                new Frame(
                    f.file,
                    f.paired,
                    body,
                    f.time == null ? null : new CaptureTime(f.time, f.offset, f.subSecond),
                    new CaptureSettings(
                        f.exposureTime, f.fNumber, f.iso, f.bias, f.program, f.mode, f.metering),
                    f.flash,
                    new WhiteBalance(f.setting, f.lightSource, f.point),
                    new Optics(f.lens, f.focalLength),
                    new Picture(
                        f.orientation,
                        f.width,
                        f.height,
                        null,
                        f.smallest,
                        f.largest,
                        f.brightening),
                    new Marks(f.rating, f.label, f.sequence, f.focusX, f.focusY),
                    f.provenance,
                    f.findings));
    add(f.file, Category.FRAME, f.stamp);
    if (f.small != null) {
      slots.put(f.file, f.small);
    }
    if (f.sceneLight != null) {
      light.put(f.file, f.sceneLight);
    }
    frames.add(frame);
  }

  private boolean exposure(Fields f, String name) throws IOException {
    switch (name) {
      case "file" -> f.file = in.path();
      case "paired" -> f.paired = in.isNull() ? null : in.path();
      case "body" -> f.body = bodyById();
      case "capturedAt" -> f.time = PlanReader.time(in);
      case "utcOffset" -> f.offset = in.checked(() -> ZoneOffset.of(in.string()));
      case "subSecond" -> f.subSecond = in.bool();
      case "exposureTimeSeconds" ->
          f.exposureTime = in.isNull() ? null : in.checked(() -> new ExposureTime(in.number()));
      case "fNumber" -> f.fNumber = in.isNull() ? null : in.checked(() -> new FNumber(in.number()));
      case "iso" -> f.iso = in.isNull() ? null : in.checked(() -> new Iso(in.number()));
      case "exposureBiasEv" -> f.bias = in.isNull() ? null : in.checked(() -> new Ev(in.number()));
      case "exposureProgram" -> f.program = in.integer(0, 65_535);
      case "exposureMode" -> f.mode = in.integer(-1, 65_535);
      case "meteringMode" -> f.metering = in.integer(0, 65_535);
      case "flashFired" -> {
        if (!in.isNull() && f.flash == null) {
          f.flash = new Flash(in.bool() ? 1 : 0);
        }
      }
      case "flashBits" -> f.flash = in.checked(() -> new Flash(in.integer(0, 65_535)));
      case "whitePoint" -> f.point = whitePoint();
      case "whiteBalance" -> f.setting = in.oneOf(WhiteBalance.Setting.class);
      case "lightSource" -> f.lightSource = in.integer(0, 65_535);
      case "exact" -> skipExact();
      case "ev100" -> in.numberOrNull();
      case "sceneLight" -> f.sceneLight = in.numberOrNull();
      default -> {
        return false;
      }
    }
    return true;
  }

  private boolean picture(Fields f, String name) throws IOException {
    switch (name) {
      case "lens" -> f.lens = in.sharedString();
      case "focalLengthMm" -> f.focalLength = in.number();
      case "orientation" -> f.orientation = in.integer(1, 8);
      case "width" -> f.width = in.integer(0, Integer.MAX_VALUE);
      case "height" -> f.height = in.integer(0, Integer.MAX_VALUE);
      case "smallest" -> f.smallest = embedded();
      case "largest" -> f.largest = embedded();
      case "brightening" -> f.brightening = in.sharedString();
      case "small" -> f.small = slot();
      default -> {
        return false;
      }
    }
    return true;
  }

  private boolean marks(Fields f, String name) throws IOException {
    switch (name) {
      case "rating" -> f.rating = in.number();
      case "label" -> f.label = in.sharedString();
      case "sequence" -> f.sequence = in.integer(Integer.MIN_VALUE, Integer.MAX_VALUE);
      case "focusX" -> f.focusX = in.number();
      case "focusY" -> f.focusY = in.number();
      case "provenance" -> f.provenance = provenance(in.integer(0, Integer.MAX_VALUE));
      case "stamp" -> f.stamp = stamp();
      case "findings" -> in.array(() -> f.findings.add(PlanReader.finding(in)));
      default -> {
        return false;
      }
    }
    return true;
  }

  private Map<String, String> provenance(int index) {
    if (index >= provenances.size()) {
      throw in.bad(
          "must be an index into provenances, 0 to " + (provenances.size() - 1), "" + index);
    }
    return provenances.get(index);
  }

  private BodyId bodyById() throws IOException {
    BodyId body = bodies.get(in.string());
    if (body == null) {
      throw in.bad("must be the id of one of the bodies", '"' + in.string() + '"');
    }
    return body;
  }

  private void skipExact() throws IOException {
    if (in.isNull()) {
      return;
    }
    in.object(
        name -> {
          switch (name) {
            case "exposureTimeSeconds", "fNumber", "iso" -> in.numberOrNull();
            case "step" -> in.stringOrNull();
            default -> {
              return false;
            }
          }
          return true;
        });
  }

  private WhitePoint whitePoint() throws IOException {
    var w =
        new Object() {
          WhitePoint.Kind kind = WhitePoint.Kind.UNKNOWN;
          @Nullable Kelvin kelvin;
          @Nullable Duv duv;
          @Nullable Double red;
          @Nullable Double blue;
        };
    in.object(
        name -> {
          switch (name) {
            case "kind" -> w.kind = in.oneOf(WhitePoint.Kind.class);
            case "kelvin" ->
                w.kelvin = in.isNull() ? null : in.checked(() -> new Kelvin(in.number()));
            case "duv" -> w.duv = in.isNull() ? null : in.checked(() -> new Duv(in.number()));
            case "neutralRed" -> w.red = in.number();
            case "neutralBlue" -> w.blue = in.number();
            default -> {
              return false;
            }
          }
          return true;
        },
        "kind",
        "kelvin",
        "duv");
    Double red = w.red;
    Double blue = w.blue;
    CameraNeutral neutral =
        red == null || blue == null ? null : in.checked(() -> new CameraNeutral(red, blue));
    return new WhitePoint(w.kind, w.kelvin, w.duv, neutral);
  }

  private EmbeddedJpeg embedded() throws IOException {
    long[] numbers = new long[4];
    in.object(
        name -> {
          switch (name) {
            case "offset" -> numbers[0] = in.whole(0, Long.MAX_VALUE);
            case "length" -> numbers[1] = in.whole(1, Long.MAX_VALUE);
            case "width" -> numbers[2] = in.whole(0, Integer.MAX_VALUE);
            case "height" -> numbers[3] = in.whole(0, Integer.MAX_VALUE);
            default -> {
              return false;
            }
          }
          return true;
        },
        "offset",
        "length");
    return in.checked(
        () -> new EmbeddedJpeg(numbers[0], numbers[1], (int) numbers[2], (int) numbers[3]));
  }

  private PixelFile.Slot slot() throws IOException {
    long[] numbers = new long[4];
    in.object(
        name -> {
          switch (name) {
            case "at" -> numbers[0] = in.whole(0, 1L << 50);
            case "width" -> numbers[1] = in.whole(1, 512);
            case "height" -> numbers[2] = in.whole(1, 512);
            case "crc32c" ->
                numbers[3] = in.checked(() -> Integer.parseUnsignedInt(in.string(), 16));
            default -> {
              return false;
            }
          }
          return true;
        },
        "at",
        "width",
        "height",
        "crc32c");
    return new PixelFile.Slot(numbers[0], (int) numbers[1], (int) numbers[2], (int) numbers[3]);
  }

  private FileStamp stamp() throws IOException {
    var s =
        new Object() {
          long size;
          long modified;
          String hash = "";
        };
    in.object(
        name -> {
          switch (name) {
            case "size" -> s.size = in.whole(0, Long.MAX_VALUE);
            case "modifiedMillis" -> s.modified = in.whole(Long.MIN_VALUE, Long.MAX_VALUE);
            case "headHash" -> s.hash = in.string();
            default -> {
              return false;
            }
          }
          return true;
        },
        "size",
        "modifiedMillis",
        "headHash");
    return in.checked(() -> new FileStamp(s.size, s.modified, s.hash));
  }
}
