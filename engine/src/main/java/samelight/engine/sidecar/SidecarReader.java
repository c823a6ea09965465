package samelight.engine.sidecar;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.Parallel;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Marks;

/** Reads sidecars without changing anything. */
public final class SidecarReader {
  private static final String XMP = "http://ns.adobe.com/xap/1.0/";
  private static final PropertyName RATING = new PropertyName(XMP, "Rating");
  private static final PropertyName LABEL = new PropertyName(XMP, "Label");

  private SidecarReader() {}

  /**
   * What the sidecars of a shoot say.
   *
   * @param frames the frames, those with a sidecar bearing its rating and label
   * @param states one state for each frame, in the same order
   * @param findings sidecars that can't be understood
   */
  public record Marked(List<Frame> frames, List<SidecarState> states, List<Finding> findings) {
    /** Copies its lists. */
    public Marked {
      frames = List.copyOf(frames);
      states = List.copyOf(states);
      findings = List.copyOf(findings);
    }
  }

  /**
   * Reads the sidecars of all frames; a rating or label in a sidecar outranks the file's own.
   *
   * @throws samelight.engine.files.RefusedInputException if a folder can't be read
   */
  public static Marked mark(Path shoot, List<Frame> frames) {
    ShootPaths paths = ShootPaths.of(shoot);
    Sidecars names = Sidecars.of(shoot, frames);
    List<SidecarState> states;
    try {
      states = Parallel.map(frames, Parallel.CORES, f -> state(paths, f, names.pathFor(f)));
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
    List<Frame> marked = new ArrayList<>();
    List<Finding> findings = new ArrayList<>();
    for (int i = 0; i < frames.size(); i++) {
      SidecarState s = states.get(i);
      marked.add(marked(frames.get(i), s));
      if (s.finding() != null) {
        findings.add(s.finding());
      }
    }
    return new Marked(marked, states, findings);
  }

  private static Frame marked(Frame f, SidecarState s) {
    if (s.rating() == null && s.label() == null) {
      return f;
    }
    Marks m = f.marks();
    return f.withMarks(
        new Marks(
            s.rating() == null ? m.rating() : s.rating(),
            s.label() == null ? m.label() : s.label(),
            m.sequence(),
            m.focusX(),
            m.focusY()));
  }

  private static SidecarState state(ShootPaths paths, Frame f, String sidecar) {
    boolean exists = false;
    try {
      byte[] bytes = SidecarFile.read(paths.resolveFollowing(sidecar));
      if (bytes == null) {
        return new SidecarState(f.file(), sidecar, false, null, null, false, null);
      }
      exists = true;
      XmpPacket packet = XmpPacket.parse(bytes);
      XmpCheck.accept(packet);
      return new SidecarState(
          f.file(),
          sidecar,
          true,
          rating(packet),
          packet.text(LABEL),
          packet.properties.containsKey(LastCarried.NAME),
          null);
    } catch (XmpRefusedException e) {
      return new SidecarState(f.file(), sidecar, true, null, null, false, e.finding(sidecar));
    } catch (RefusedInputException e) {
      Finding finding =
          new Finding(sidecar, null, e.rule(), e.actual(), "the sidecar was not touched");
      return new SidecarState(f.file(), sidecar, exists, null, null, false, finding);
    }
  }

  static @Nullable Double rating(XmpPacket packet) throws XmpRefusedException {
    String text = packet.text(RATING);
    Double rating = text == null ? null : NumberStyle.parse(text);
    return rating == null || rating < -1 || rating > 5 ? null : rating;
  }

  static boolean rejected(XmpPacket packet) throws XmpRefusedException {
    Double rating = rating(packet);
    return rating != null && rating < 0;
  }

  /**
   * Frames whose raw editor's properties were set by a person before any carry.
   *
   * @param maps edit maps; where none is for a frame's kind of file nothing can be said of it
   */
  public static Set<String> editedBefore(Path shoot, List<Frame> frames, List<EditMap> maps) {
    if (maps.isEmpty()) {
      return Set.of();
    }
    ShootPaths paths = ShootPaths.of(shoot);
    Sidecars names = Sidecars.of(shoot, frames);
    var remembered = JournalStore.remembered(new JournalStore(paths).finished());
    List<Boolean> edited;
    try {
      edited =
          Parallel.map(
              frames,
              Parallel.CORES,
              f -> editedBefore(paths, f, names.pathFor(f), maps, remembered));
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
    Set<String> all = new HashSet<>();
    for (int i = 0; i < frames.size(); i++) {
      if (edited.get(i)) {
        all.add(frames.get(i).file());
      }
    }
    return all;
  }

  private static boolean editedBefore(
      ShootPaths paths,
      Frame frame,
      String sidecar,
      List<EditMap> maps,
      Map<String, LastCarried> remembered) {
    try {
      Path file = paths.resolveFollowing(sidecar);
      byte[] bytes = SidecarFile.read(file);
      XmpPacket packet = XmpPacket.parse(bytes == null ? XmpPacket.empty() : bytes);
      LastCarried journalled = remembered.get(paths.relative(file));
      if (!LastCarried.of(packet).nothing() || (journalled != null && !journalled.nothing())) {
        return false;
      }
      for (EditMap map : maps) {
        if (map.fits(FileKind.of(frame))
            && EditorProperties.edited(
                EditorProperties.edits(paths, frame.file(), packet, map), map)) {
          return true;
        }
      }
    } catch (XmpRefusedException | RefusedInputException e) {
      return false; // told by mark()
    }
    return false;
  }
}
