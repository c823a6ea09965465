package samelight.engine.lighting;

import java.util.List;

/**
 * Frames of one section made in the same light.
 *
 * @param id id, unique in the shoot
 * @param section id of its section
 * @param reference the frame that is graded by hand; one of {@code frames}
 * @param frames paths relative to the shoot, in the order of the day
 */
public record LightingGroup(String id, String section, String reference, List<String> frames) {
  /**
   * @throws IllegalArgumentException if the reference isn't one of the frames
   */
  public LightingGroup {
    frames = List.copyOf(frames);
    if (!frames.contains(reference)) {
      throw new IllegalArgumentException(
          "reference of group " + id + " must be one of its frames, was " + reference);
    }
  }
}
