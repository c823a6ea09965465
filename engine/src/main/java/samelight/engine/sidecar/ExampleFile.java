package samelight.engine.sidecar;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.metadata.FrameReader;

/** A file that a person gave as an example: a sidecar, or a picture with XMP inside. */
final class ExampleFile {
  private final XmpPacket packet;
  private final boolean inside;
  private final String hash;
  private final Map<PropertyName, String> canonical = new TreeMap<>();

  private ExampleFile(XmpPacket packet, boolean inside, String hash) throws XmpRefusedException {
    this.packet = packet;
    this.inside = inside;
    this.hash = hash;
    for (XmpPacket.Property p : packet.properties.values()) {
      if (!EditMap.standard(p.name().namespace())) {
        canonical.put(p.name(), p.value().canonical());
      }
    }
  }

  static ExampleFile read(Path file) {
    try {
      boolean sidecar = SidecarFile.named(file.toString());
      byte[] bytes;
      if (sidecar) {
        bytes = SidecarFile.read(file);
      } else {
        bytes = FrameReader.xmpPacket(file).orElse(null);
      }
      if (bytes == null) {
        throw new RefusedInputException(
            file.toString(),
            "an example must be an XMP sidecar, or a picture with XMP inside",
            sidecar
                ? "no such file"
                : Files.exists(file)
                    ? "a file without XMP, which can't be understood"
                    : "no such file",
            "If the editor keeps its edits in a database, have it save the metadata out to XMP"
                + " files; a format of its own can't be carried. "
                + Teach.NEXT);
      }
      byte[] whole = sidecar ? bytes : head(file);
      return new ExampleFile(XmpPacket.parse(bytes), !sidecar, ContentHash.of(whole));
    } catch (XmpRefusedException e) {
      throw new RefusedInputException(
          file.toString(),
          "an example must be XMP that can be understood (ISO 16684-1)",
          String.valueOf(e.getMessage()),
          Teach.NEXT,
          e);
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(), "an example must be readable", DurableFile.reasonOf(e), Teach.NEXT, e);
    }
  }

  private static byte[] head(Path file) throws IOException {
    try (var in = Files.newInputStream(file)) {
      return in.readNBytes(1 << 20);
    }
  }

  boolean inside() {
    return inside;
  }

  boolean sameBytes(ExampleFile other) {
    return hash.equals(other.hash);
  }

  /** Properties outside the standard's namespaces, each as a graph. */
  Map<PropertyName, String> canonical() {
    return canonical;
  }

  /** Value of a property, or null. */
  @Nullable XmpValue value(PropertyName name) {
    return packet.value(name);
  }

  /** Text of a simple value, or null. */
  @Nullable String text(NumberPlace place) {
    return place.text(packet);
  }

  /** A property as an edit map notes it for an untouched frame. */
  String untouched(PropertyName name) {
    return Optional.ofNullable(packet.value(name)).map(EditorProperties::untouchedText).orElse("");
  }
}
