package samelight.engine.delivery;

import java.time.LocalDateTime;
import org.jspecify.annotations.Nullable;

/**
 * One picture of a gallery before it is written.
 *
 * @param frame path of its frame
 * @param head its export
 * @param section the section's name as a person gave it
 * @param name path in the gallery
 * @param number number across the whole gallery, from 1; variants of a frame share it
 * @param variant what tells it from others of its frame, cleaned, or empty
 * @param opening whether it is its section's opening picture
 * @param rating xmp:Rating, 0 for none
 * @param taken corrected capture time, or null
 */
record GalleryEntry(
    String frame,
    ExportHead head,
    String section,
    String name,
    int number,
    String variant,
    boolean opening,
    double rating,
    @Nullable LocalDateTime taken) {

  /** The folder in the gallery. */
  String folder() {
    return name.substring(0, name.lastIndexOf('/'));
  }
}
