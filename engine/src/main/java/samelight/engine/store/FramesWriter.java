package samelight.engine.store;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.FrameLight;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Marks;
import samelight.engine.frame.Picture;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Category;
import samelight.engine.metadata.FileStamp;
import samelight.engine.metadata.ShootReader;
import samelight.engine.metadata.ShootReading;

/** Writes {@code frames.json}. */
final class FramesWriter {
  private final JsonOut out;
  private final ShootReading reading;
  private final Map<String, FrameLight> light;
  private final Map<String, PixelFile.Slot> slots;
  private final Map<Map<String, String>, Integer> provenances = new LinkedHashMap<>();

  private FramesWriter(
      JsonOut out,
      ShootReading reading,
      Map<String, FrameLight> light,
      Map<String, PixelFile.Slot> slots) {
    this.out = out;
    this.reading = reading;
    this.light = light;
    this.slots = slots;
  }

  static void document(
      JsonOut out,
      ShootReading reading,
      Map<String, FrameLight> light,
      Map<String, PixelFile.Slot> slots,
      String pixelId)
      throws IOException {
    out.field("version", PlanFile.VERSION);
    out.field("reader", ShootReader.EDITION);
    out.field("smallImages", pixelId);
    new FramesWriter(out, reading, light, slots).write();
  }

  private void write() throws IOException {
    Map<String, BodyId> bodies = new LinkedHashMap<>();
    for (Frame frame : reading.frames()) {
      bodies.putIfAbsent(frame.body().id(), frame.body());
      provenances.putIfAbsent(frame.provenance(), provenances.size());
    }
    out.array(
        "bodies",
        () -> {
          for (BodyId body : bodies.values()) {
            out.object(
                () -> {
                  out.field("id", body.id());
                  out.field("make", body.make());
                  out.field("model", body.model());
                  out.field("serial", body.serial());
                });
          }
        });
    out.array(
        "provenances",
        () -> {
          for (Map<String, String> provenance : provenances.keySet()) {
            out.object(
                () -> {
                  for (var entry : new java.util.TreeMap<>(provenance).entrySet()) {
                    out.field(entry.getKey(), entry.getValue());
                  }
                });
          }
        });
    out.array(
        "frames",
        () -> {
          for (Frame frame : reading.frames()) {
            out.object(() -> frame(frame));
          }
        });
    others();
    PlanFile.findings(out, findingsOutsideFrames());
  }

  private List<Finding> findingsOutsideFrames() {
    Set<Finding> own = new HashSet<>();
    reading.frames().forEach(frame -> own.addAll(frame.findings()));
    List<Finding> others = new ArrayList<>(reading.findings());
    others.removeIf(own::contains);
    return others;
  }

  private void others() throws IOException {
    Set<String> frames = new HashSet<>();
    reading.frames().forEach(frame -> frames.add(frame.file()));
    out.array(
        "others",
        () -> {
          for (Map.Entry<String, Category> file : reading.files().entrySet()) {
            if (!frames.contains(file.getKey())) {
              FileStamp stamp = reading.stamps().get(file.getKey());
              out.object(
                  () -> {
                    out.field("file", file.getKey());
                    out.field("category", JsonOut.word(file.getValue()));
                    if (stamp != null) {
                      stamp(stamp);
                    }
                  });
            }
          }
        });
  }

  private void frame(Frame frame) throws IOException {
    CaptureSettings s = frame.settings();
    FrameLight l = light.get(frame.file());
    out.field("file", frame.file());
    out.field("paired", frame.paired());
    out.field("body", frame.body().id());
    var time = frame.time();
    out.field("capturedAt", time == null ? null : JsonOut.time(time.local()));
    if (time != null) {
      out.optional("utcOffset", time.offset() == null ? null : time.offset().getId());
      out.field("subSecond", time.subSecond());
    }
    out.field("exposureTimeSeconds", s.exposureTime() == null ? null : s.exposureTime().seconds());
    out.field("fNumber", s.fNumber() == null ? null : s.fNumber().value());
    out.field("iso", s.iso() == null ? null : s.iso().value());
    out.field("exposureBiasEv", s.bias() == null ? null : s.bias().stops());
    if (l == null) {
      out.field("exact", (String) null);
      out.field("ev100", (String) null);
      out.field("sceneLight", (String) null);
    } else {
      out.object("exact", () -> exact(l));
      out.field("ev100", l.ev100() == null ? null : l.ev100().stops());
      out.field("sceneLight", l.sceneLight() == null ? null : l.sceneLight().stops());
    }
    out.field("exposureProgram", s.program());
    out.field("exposureMode", s.mode());
    out.field("meteringMode", s.metering());
    var flash = frame.flash();
    if (flash == null) {
      out.field("flashFired", (String) null);
    } else {
      out.field("flashFired", flash.fired());
      out.field("flashBits", flash.bits());
    }
    out.object("whitePoint", () -> whitePoint(frame.whiteBalance().point()));
    out.field("whiteBalance", JsonOut.word(frame.whiteBalance().setting()));
    out.field("lightSource", frame.whiteBalance().lightSource());
    out.optional("lens", frame.optics().lens());
    out.optional("focalLengthMm", frame.optics().focalLengthMm());
    picture(frame);
    marks(frame.marks());
    Integer provenance = provenances.get(frame.provenance());
    out.field("provenance", provenance == null ? 0 : provenance.longValue());
    FileStamp stamp = reading.stamps().get(frame.file());
    if (stamp != null) {
      stamp(stamp);
    }
    PlanFile.findings(out, frame.findings());
  }

  private void exact(FrameLight l) throws IOException {
    out.field("exposureTimeSeconds", l.exposureTime() == null ? null : l.exposureTime().seconds());
    out.field("fNumber", l.fNumber() == null ? null : l.fNumber().value());
    out.field("iso", l.iso() == null ? null : l.iso().value());
    out.field("step", l.step());
  }

  private void whitePoint(WhitePoint point) throws IOException {
    out.field("kind", JsonOut.word(point.kind()));
    out.field("kelvin", point.kelvin() == null ? null : point.kelvin().value());
    out.field("duv", point.duv() == null ? null : point.duv().value());
    var neutral = point.neutral();
    if (neutral != null) {
      out.field("neutralRed", neutral.red());
      out.field("neutralBlue", neutral.blue());
    }
  }

  private void picture(Frame frame) throws IOException {
    Picture p = frame.picture();
    out.field("orientation", p.orientation());
    out.field("width", p.width());
    out.field("height", p.height());
    embedded("smallest", p.smallest());
    embedded("largest", p.largest());
    out.optional("brightening", p.brightening());
    PixelFile.Slot slot = slots.get(frame.file());
    if (slot != null) {
      out.object(
          "small",
          () -> {
            out.field("at", slot.at());
            out.field("width", slot.width());
            out.field("height", slot.height());
            out.field("crc32c", Integer.toHexString(slot.crc()));
          });
    }
  }

  private void embedded(String name, @Nullable EmbeddedJpeg jpeg) throws IOException {
    if (jpeg != null) {
      out.object(
          name,
          () -> {
            out.field("offset", jpeg.offset());
            out.field("length", jpeg.length());
            out.field("width", jpeg.width());
            out.field("height", jpeg.height());
          });
    }
  }

  private void marks(Marks marks) throws IOException {
    out.optional("rating", marks.rating());
    out.optional("label", marks.label());
    Integer sequence = marks.sequence();
    if (sequence != null) {
      out.field("sequence", sequence.longValue());
    }
    out.optional("focusX", marks.focusX());
    out.optional("focusY", marks.focusY());
  }

  private void stamp(FileStamp stamp) throws IOException {
    out.object(
        "stamp",
        () -> {
          out.field("size", stamp.size());
          out.field("modifiedMillis", stamp.modifiedMillis());
          out.field("headHash", stamp.headHash());
        });
  }
}
