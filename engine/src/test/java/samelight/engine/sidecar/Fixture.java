package samelight.engine.sidecar;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.Disk;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Marks;
import samelight.engine.frame.Optics;
import samelight.engine.frame.Picture;
import samelight.engine.frame.WhiteBalance;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Evidence;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;

/** A shoot in a temporary folder, with an invented raw editor's sidecars. */
final class Fixture {
  static final String ED = "http://editor.example/ns/1.0/";
  static final PropertyName GAIN = new PropertyName(ED, "GainStops");
  static final PropertyName WHITE = new PropertyName(ED, "WhiteKelvin");
  static final PropertyName SPECKLE = new PropertyName(ED, "Speckle");
  static final PropertyName FRAME_BOX = new PropertyName(ED, "FrameBox");
  static final PropertyName SHAPE = new PropertyName(ED, "Shape");

  final Path shoot;
  final List<Frame> frames = new ArrayList<>();
  final Map<String, Match> matches = new LinkedHashMap<>();
  final Map<String, Grade> grades = new LinkedHashMap<>();
  final List<LightingGroup> groups = new ArrayList<>();
  final List<EditMap> maps = new ArrayList<>();
  boolean overTouches;

  Fixture(Path shoot) {
    this.shoot = shoot;
  }

  /** A group of frames, the first being the reference; frame i is matched by i/10 stops. */
  static Fixture of(Path shoot, String... files) {
    Fixture f = new Fixture(shoot);
    f.group("g1", files);
    f.maps.add(map());
    return f;
  }

  Fixture group(String id, String... files) {
    for (int i = 0; i < files.length; i++) {
      frames.add(frame(files[i]));
      match(files[i], files[0], 0.1 * i, 2.0 * i);
      try {
        Path p = shoot.resolve(files[i]);
        Files.createDirectories(p.getParent());
        if (!Files.exists(p)) {
          Files.writeString(p, "original " + files[i]);
        }
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
    groups.add(new LightingGroup(id, "s1", files[0], List.of(files)));
    return this;
  }

  Fixture match(String file, String reference, double stops, double mired, String... reasons) {
    matches.put(
        file,
        new Match(
            file,
            reference,
            new Ev(stops),
            new Ev(0.05),
            new Mired(mired),
            new Mired(3),
            Duv.ZERO,
            List.of(reasons),
            new Evidence(new Ev(stops), Ev.ZERO, "test", List.of(), List.of())));
    return this;
  }

  static Frame frame(String file) {
    return new Frame(
        file,
        null,
        new BodyId("b1", "Aster", "K1", null),
        null,
        CaptureSettings.UNKNOWN,
        null,
        WhiteBalance.UNKNOWN,
        Optics.UNKNOWN,
        Picture.UNKNOWN,
        Marks.NONE,
        Map.of(),
        List.of());
  }

  static EditMap map() {
    return new EditMap(
        1,
        null,
        null,
        List.of(ED),
        new NumberProperty(
            ED, "GainStops", null, NumberProperty.Unit.STOPS, null, -5.0, 5.0, null, null),
        new NumberProperty(
            ED, "WhiteKelvin", null, NumberProperty.Unit.KELVIN, null, null, null, null, null),
        null,
        List.of(FRAME_BOX),
        List.of(),
        List.of());
  }

  /** A sidecar as the invented editor writes it. */
  static String sidecar(String gain, String kelvin) {
    return """
        <?xml version="1.0" encoding="UTF-8"?>
        <x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
         <rdf:Description rdf:about="" xmlns:ed="http://editor.example/ns/1.0/" ed:GainStops="%s" ed:WhiteKelvin="%s" ed:Speckle="12" ed:FrameBox="0.1 0.1 0.9 0.9">
          <ed:Shape><rdf:Seq><rdf:li>0, 0</rdf:li><rdf:li>128, 140</rdf:li><rdf:li>255, 255</rdf:li></rdf:Seq></ed:Shape>
         </rdf:Description></rdf:RDF></x:xmpmeta>
        """
        .formatted(gain, kelvin);
  }

  Fixture write(String path, String content) {
    try {
      Path p = shoot.resolve(path);
      Files.createDirectories(p.getParent());
      Files.writeString(p, content);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return this;
  }

  String read(String path) {
    try {
      return Files.readString(shoot.resolve(path));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  CarryRequest request() {
    return new CarryRequest(shoot, frames, groups, matches, grades, maps, Set.of(), overTouches);
  }

  CarryResult carry() {
    return carry(Disk.REAL);
  }

  CarryResult carry(Disk disk) {
    try (SidecarSession session = SidecarSession.open(shoot, disk)) {
      return Carry.run(session, CarryPlan.of(request()), Progress.NONE);
    }
  }

  RevertResult revert() {
    try (SidecarSession session = SidecarSession.open(shoot)) {
      return Revert.last(session, false, Progress.NONE);
    }
  }

  /** Text of a simple property of a sidecar, or null. */
  @Nullable String text(String sidecar, PropertyName name) {
    try {
      return XmpPacket.parse(Files.readAllBytes(shoot.resolve(sidecar))).text(name);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (XmpRefusedException e) {
      throw new AssertionError(e);
    }
  }

  @Nullable String slr(String sidecar, String property) {
    return text(sidecar, RecipeNamespace.name(property));
  }

  /** Changes a property by hand, as the editor would. */
  void touch(String sidecar, PropertyName name, String value) {
    try {
      Path p = shoot.resolve(sidecar);
      XmpPacket packet = XmpPacket.parse(Files.readAllBytes(p));
      XmpEditor editor = new XmpEditor(packet);
      editor.setText(name, "ed", value);
      Files.write(p, packet.encoding.encode(editor.apply()));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (XmpRefusedException e) {
      throw new AssertionError(e);
    }
  }

  /** Hashes of all files of the shoot outside the tool's own folder, by path. */
  Map<String, String> snapshot() {
    Map<String, String> all = new TreeMap<>();
    try (Stream<Path> files = Files.walk(shoot)) {
      for (Path p : files.filter(Files::isRegularFile).toList()) {
        if (!p.startsWith(shoot.resolve("samelight"))) {
          all.put(shoot.relativize(p).toString(), ContentHash.of(Files.readAllBytes(p)));
        }
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return all;
  }

  static byte[] utf8(String s) {
    return s.getBytes(StandardCharsets.UTF_8);
  }
}
