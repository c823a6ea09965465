package samelight.engine.delivery;

/**
 * One file of a gallery.
 *
 * @param frame path of its frame, relative to the shoot, with {@code /}
 * @param export path of the export, relative to the folder of exports, with {@code /}
 * @param name path in the gallery, with {@code /}, such as {@code 01 Dressing room/0001.jpg}
 * @param sha256 of the delivered file's bytes, 64 lower-case hexadecimal digits
 */
public record DeliveredFile(String frame, String export, String name, String sha256) {
  /**
   * @throws IllegalArgumentException if the hash isn't 64 hexadecimal digits
   */
  public DeliveredFile {
    boolean hash = sha256.length() == 64;
    for (int i = 0; hash && i < sha256.length(); i++) {
      char c = sha256.charAt(i);
      hash = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
    }
    if (!hash) {
      throw new IllegalArgumentException(
          "a hash must be 64 lower-case hexadecimal digits, was " + sha256);
    }
  }
}
