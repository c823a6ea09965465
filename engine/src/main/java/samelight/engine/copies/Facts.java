package samelight.engine.copies;

import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Frame;
import samelight.engine.metadata.BodyNames;
import samelight.engine.metadata.FrameReader;
import samelight.engine.metadata.NamedKind;

/**
 * What a copied file's own bytes say of it, and where it therefore belongs: a picture into its
 * body's folder, what goes with a picture beside it, films beside the last picture of their folder
 * on the card, all else under {@code other}. One card at a time, pictures first.
 */
final class Facts {
  private static final String NOBODY = "unknown-body";
  private static final int SERIAL_END = 4;

  private final FrameReader reader = new FrameReader();
  private final Map<String, BodyId> names;
  private final Map<String, String> byStem = new HashMap<>();
  private final Map<String, String> byFolder = new HashMap<>();
  private @Nullable String last;

  /**
   * Facts of one card.
   *
   * @param names which body has which folder name, shared by all cards
   */
  Facts(Map<String, BodyId> names) {
    this.names = names;
  }

  /**
   * Where a file belongs.
   *
   * @param body name of its body's folder, or null
   * @param taken capture time by the body's clock, or null
   * @param path wanted path relative to the copied shoot
   */
  record Place(@Nullable String body, @Nullable LocalDateTime taken, String path) {}

  /** The place of a file, of which a whole copy is at hand. */
  synchronized Place of(CardFile file, Path copy) {
    if (file.kind() == NamedKind.PICTURE) {
      Frame frame = frame(copy);
      CaptureTime time = frame == null ? null : frame.time();
      return place(
          file, frame == null ? null : folder(frame.body()), time == null ? null : time.local());
    }
    return place(file, null, null);
  }

  /** The capture time that a picture gives, or null. */
  @Nullable LocalDateTime taken(Path picture) {
    Frame frame = frame(picture);
    CaptureTime time = frame == null ? null : frame.time();
    return time == null ? null : time.local();
  }

  /** Notes the place of a file that was copied before. */
  synchronized void known(CardFile file, CopyRecord record) {
    if (record.body() != null) {
      note(file, record.body());
    }
  }

  private Place place(CardFile file, @Nullable String own, @Nullable LocalDateTime taken) {
    String folder = file.name().substring(0, file.name().lastIndexOf('/') + 1);
    String body =
        switch (file.kind()) {
          case PICTURE -> own;
          case COMPANION, SIDECAR, VIDEO ->
              byStem.getOrDefault(file.stem(), byFolder.getOrDefault(folder, or(last)));
          case OTHER -> null;
        };
    if (body == null && file.kind() == NamedKind.PICTURE) {
      body = byStem.getOrDefault(file.stem(), byFolder.getOrDefault(folder, or(last)));
    }
    if (file.kind() == NamedKind.OTHER) {
      return new Place(null, null, "other/" + file.name());
    }
    String known = body == null || body.isEmpty() ? null : body;
    if (known != null && file.kind() == NamedKind.PICTURE) {
      note(file, known);
    }
    return new Place(known, taken, (known == null ? NOBODY : known) + "/" + safe(file.fileName()));
  }

  private static String or(@Nullable String text) {
    return text == null ? "" : text;
  }

  private static String safe(String fileName) {
    return fileName.equals("..") || fileName.equals(".") ? "_" : fileName;
  }

  private void note(CardFile file, String body) {
    byStem.put(file.stem(), body);
    byFolder.put(file.name().substring(0, file.name().lastIndexOf('/') + 1), body);
    last = body;
  }

  private @Nullable Frame frame(Path copy) {
    Path folder = copy.toAbsolutePath().getParent();
    return folder == null ? null : reader.read(folder, copy).frame();
  }

  /** The body's folder; two bodies never share one where their serial numbers differ. */
  private @Nullable String folder(BodyId body) {
    if (body.make().isEmpty() && body.model().isEmpty() && body.serial() == null) {
      return null;
    }
    synchronized (names) {
      for (int digits = SERIAL_END; ; digits++) {
        String name = BodyNames.of(body, digits);
        BodyId other = names.putIfAbsent(name, body);
        String serial = body.serial();
        if (other != null && other.id().equals(name)) {
          names.put(name, body); // an earlier run's folder, of which no serial number was kept
          return name;
        }
        if (other == null
            || serial == null
            || serial.equals(other.serial())
            || digits > serial.length()) {
          return name;
        }
      }
    }
  }
}
