package samelight.engine.metadata;

/** What a file of a shoot is; every file is in exactly one category. */
public enum Category {
  /** A frame: one exposure that was read. */
  FRAME,
  /** The JPEG of a raw+JPEG pair; its frame is listed by the raw. */
  PAIRED_JPEG,
  /** A video clip: counted and listed, never grouped. */
  VIDEO,
  /** A file that accompanies a frame or a clip, such as a sound note or a clip's thumbnail. */
  COMPANION,
  /** An XMP sidecar. */
  SIDECAR,
  /** A file with a picture's name that couldn't be read as one; a finding says why. */
  UNREADABLE,
  /** Anything else. */
  OTHER
}
