package samelight.engine.report;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import samelight.engine.colour.Matrix3;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.metadata.Preview;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.proof.MidTones;
import samelight.engine.proof.Proof;
import samelight.engine.proof.ProofWhite;
import samelight.engine.quantity.Ev;

/** Pictures of a shoot as shot and matched. Safe for use by several threads. */
public final class Proofs {
  private final Map<String, Frame> frames = new HashMap<>();
  private final Map<String, Match> matches;
  private final Map<String, BodyResponse> responses;
  private final Map<String, Grade> grades;
  private final Function<String, @Nullable Path> files;
  private final Map<String, Proof> renderers = new ConcurrentHashMap<>();

  /**
   * Proofs of a shoot.
   *
   * @param all frames with their small images
   * @param matches match of each grouped frame
   * @param responses of the bodies, by body id
   * @param grades by reference
   * @param files where a frame's file lies, to read larger pictures from; null for small ones only
   */
  public Proofs(
      List<Frame> all,
      Map<String, Match> matches,
      Map<String, BodyResponse> responses,
      Map<String, Grade> grades,
      Function<String, @Nullable Path> files) {
    all.forEach(f -> frames.put(f.file(), f));
    this.matches = Map.copyOf(matches);
    this.responses = Map.copyOf(responses);
    this.grades = Map.copyOf(grades);
    this.files = files;
  }

  /** Exif Orientation of a frame. */
  public int orientation(String file) {
    Frame frame = frames.get(file);
    return frame == null ? 1 : frame.picture().orientation();
  }

  /** The small image as shot, or null where there is none. */
  public @Nullable SmallImage shot(String file) {
    Frame frame = frames.get(file);
    return frame == null ? null : frame.picture().small();
  }

  /**
   * The picture as shot from the largest embedded JPEG.
   *
   * @param side pixels of the longer side at most, up to 512
   * @return the small image where there is no larger one, or null
   */
  public @Nullable SmallImage large(String file, int side) {
    Frame frame = frames.get(file);
    Path path = files.apply(file);
    if (frame == null) {
      return null;
    }
    var jpeg = frame.picture().largest();
    return jpeg == null || path == null
        ? frame.picture().small()
        : Preview.read(path, jpeg, side).orElseGet(() -> frame.picture().small());
  }

  /** A picture of a frame with match and grade, or null where the frame has no match. */
  public @Nullable SmallImage matched(String file, SmallImage shot) {
    return rendered(file, shot, true);
  }

  /**
   * A picture of a frame as a JPEG file, upright.
   *
   * @param side pixels of the longer side at most, up to 512; 0 for the small image
   * @param matched whether with match and grade, as far as the frame has them
   * @return null where there is no such frame or no picture of it
   */
  public byte @Nullable [] jpeg(String file, int side, boolean matched) {
    SmallImage shot = side > 0 ? large(file, side) : shot(file);
    if (shot == null) {
      return null;
    }
    SmallImage even = matched ? matched(file, shot) : null;
    return Thumbnail.jpeg(even == null ? shot : even, orientation(file), 0.8f);
  }

  /** Whether match and grade change the picture at all. */
  public boolean changes(String file) {
    Match match = matches.get(file);
    return match != null
        && (match.stops().stops() != 0
            || !file.equals(match.reference())
            || grades.containsKey(match.reference()));
  }

  /** Spread of mid-tones within some frames: as shot, and with the match alone. */
  public List<MidTones.Spread> spread(List<String> of) {
    List<Double> before = new ArrayList<>();
    List<Double> after = new ArrayList<>();
    for (String file : of) {
      SmallImage shot = shot(file);
      SmallImage even = shot == null ? null : rendered(file, shot, false);
      if (shot != null && even != null) {
        before.add(MidTones.brightness(shot, shot));
        after.add(MidTones.brightness(shot, even));
      }
    }
    return List.of(MidTones.spread(before), MidTones.spread(after));
  }

  private @Nullable SmallImage rendered(String file, SmallImage shot, boolean graded) {
    Frame frame = frames.get(file);
    Match match = matches.get(file);
    Frame reference = match == null ? null : frames.get(match.reference());
    if (frame == null || match == null || reference == null) {
      return null;
    }
    Grade grade = graded ? grades.get(match.reference()) : null;
    Ev stops = grade == null ? match.stops() : match.stops().plus(grade.exposure());
    Matrix3 light = ProofWhite.matrix(frame, reference, match, grade);
    Proof proof =
        renderers.computeIfAbsent(
            frame.body().id(), body -> new Proof(responses.getOrDefault(body, BodyResponse.SRGB)));
    return proof.render(shot, light, stops);
  }
}
