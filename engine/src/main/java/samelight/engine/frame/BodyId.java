package samelight.engine.frame;

import org.jspecify.annotations.Nullable;

/**
 * One camera body.
 *
 * @param id short id, unique in the shoot, as plan.json and {@code --clock} use it
 * @param make maker as the file says, or empty
 * @param model model as the file says, or empty
 * @param serial serial number, or null where the file has none; the body is then told apart by
 *     make, model and file-name prefix
 */
public record BodyId(String id, String make, String model, @Nullable String serial) {
  /**
   * @throws IllegalArgumentException if {@code id} is blank
   */
  public BodyId {
    if (id.isBlank()) {
      throw new IllegalArgumentException("body id must not be blank, was \"" + id + "\"");
    }
  }
}
