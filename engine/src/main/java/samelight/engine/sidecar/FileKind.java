package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonProperty;
import samelight.engine.frame.Frame;

/** The kind of file a frame is; a grade made on one kind never reaches the other. */
public enum FileKind {
  /** White balance is still open. */
  @JsonProperty("raw")
  RAW,
  /** White balance is baked in. */
  @JsonProperty("jpeg")
  JPEG;

  /** The kind of a frame. */
  public static FileKind of(Frame frame) {
    return frame.jpeg() ? JPEG : RAW;
  }
}
