package samelight.engine.metadata;

import samelight.engine.frame.BodyId;

/** A body's name as part of a path: lower-case letters, digits and hyphens. */
public final class BodyNames {
  private BodyNames() {}

  /**
   * The model without the words of its make, and the end of the serial number where there is one:
   * such as {@code tern-100-8091}.
   *
   * @param digits how many characters of the serial number at most, 1 or more
   */
  public static String of(BodyId body, int digits) {
    String serial = body.serial() == null ? "" : Bodies.slug(body.serial());
    String model = Bodies.model(body.make(), body.model());
    String end = serial.length() > digits ? serial.substring(serial.length() - digits) : serial;
    return end.isEmpty() ? model : model + "-" + end;
  }

  /** A text as part of a path: lower-case ASCII letters and digits, all else as hyphens. */
  public static String slug(String text) {
    return Bodies.slug(text);
  }
}
