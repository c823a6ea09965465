package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Path;

/** The path given as a shoot isn't a folder that can be listed. */
public final class NoSuchShootException extends IOException {
  private final transient Path shoot;

  /**
   * Says which path, and why.
   *
   * @param reason such as "no such folder"
   */
  public NoSuchShootException(Path shoot, String reason) {
    super("a shoot must be a folder that can be read; " + shoot + ": " + reason);
    this.shoot = shoot;
  }

  /** The path. */
  public Path shoot() {
    return shoot;
  }
}
