package samelight.engine.metadata;

import java.io.IOException;

/** One kind of file that frames come in. */
interface Container {
  /** Whether a file that starts with these bytes (32, or all there are) is of this kind. */
  boolean matches(byte[] head);

  /**
   * Reads what the file says.
   *
   * @throws IOException if the file ends early, or asks for more than its {@link Budget}
   */
  void read(ByteSource source, Collected into) throws IOException;
}
