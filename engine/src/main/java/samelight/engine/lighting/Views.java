package samelight.engine.lighting;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.SmallImage;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.likeness.Look;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.timeline.TimedFrame;

/** Views of frames, made when asked for and kept for the most recently used. */
final class Views {
  /** Enough for all framings of an ordinary day within reach of a candidate search. */
  private static final int KEPT = 700;

  /** Of these only the latest keep what is made for comparison: it weighs five times as much. */
  private static final int READY = 96;

  private final List<TimedFrame> frames;
  private final Map<String, BodyResponse> responses;
  private final ComparisonMemory memory;
  private final LinkedHashMap<Integer, Look> recent =
      new LinkedHashMap<>(256, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<Integer, Look> eldest) {
          return size() > KEPT;
        }
      };

  private final LinkedHashMap<Integer, Look> ready =
      new LinkedHashMap<>(128, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<Integer, Look> eldest) {
          if (size() <= READY) {
            return false;
          }
          eldest.getValue().release();
          return true;
        }
      };

  Views(List<TimedFrame> frames, Map<String, BodyResponse> responses, ComparisonMemory memory) {
    this.frames = frames;
    this.responses = responses;
    this.memory = memory;
  }

  /** The view of a frame, or null where it has no small image. */
  @Nullable Look of(int index) {
    Look known = recent.get(index);
    if (known != null) {
      ready.put(index, known);
      return known;
    }
    var frame = frames.get(index).frame();
    SmallImage small = frame.picture().small();
    if (small == null) {
      return null;
    }
    Look made =
        new Look(
            small,
            frame.picture().orientation(),
            responses.getOrDefault(frame.body().id(), BodyResponse.SRGB),
            memory);
    recent.put(index, made);
    ready.put(index, made);
    return made;
  }
}
