package samelight.engine.frame;

import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * One exposure. A raw and a JPEG of the same stem in one folder, of equal time and exposure, are
 * one frame: {@code file} is then the raw (DCF object).
 *
 * @param file path relative to the shoot, with {@code /}
 * @param paired the pair's JPEG, relative to the shoot, or null
 * @param body the camera
 * @param time capture time, or null where the file has none
 * @param settings exposure settings as marked
 * @param flash the Flash tag, or null where not given
 * @param whiteBalance white balance
 * @param optics lens
 * @param picture orientation, sizes, thumbnail
 * @param marks rating, label, focus point
 * @param provenance for each field name, the tag that said so
 * @param findings what was wrong or missing
 */
public record Frame(
    String file,
    @Nullable String paired,
    BodyId body,
    @Nullable CaptureTime time,
    CaptureSettings settings,
    @Nullable Flash flash,
    WhiteBalance whiteBalance,
    Optics optics,
    Picture picture,
    Marks marks,
    Map<String, String> provenance,
    List<Finding> findings) {

  /**
   * @throws IllegalArgumentException if {@code file} is blank, absolute or has a backslash
   */
  public Frame {
    if (file.isBlank() || file.startsWith("/") || file.contains("\\")) {
      throw new IllegalArgumentException(
          "frame path must be relative to the shoot with '/', was \"" + file + "\"");
    }
    provenance = Map.copyOf(provenance);
    findings = List.copyOf(findings);
  }

  /** Whether the camera says that a flash fired. */
  public boolean flashFired() {
    return flash != null && flash.fired();
  }

  /** The file name without folder and last extension. */
  public String stem() {
    String name = file.substring(file.lastIndexOf('/') + 1);
    int dot = name.lastIndexOf('.');
    return dot > 0 ? name.substring(0, dot) : name;
  }

  /** Whether the frame's file is a JPEG by its extension, so that its white balance is baked in. */
  public boolean jpeg() {
    String lower = file.toLowerCase(java.util.Locale.ROOT);
    return lower.endsWith(".jpg") || lower.endsWith(".jpeg");
  }

  /** The same frame with another body, as when bodies are told apart over the whole shoot. */
  public Frame withBody(BodyId other) {
    return new Frame(
        file,
        paired,
        Objects.requireNonNull(other),
        time,
        settings,
        flash,
        whiteBalance,
        optics,
        picture,
        marks,
        provenance,
        findings);
  }

  /** The same frame as the raw of a pair. */
  public Frame withPaired(@Nullable String jpeg) {
    return new Frame(
        file,
        jpeg,
        body,
        time,
        settings,
        flash,
        whiteBalance,
        optics,
        picture,
        marks,
        provenance,
        findings);
  }

  /** The same frame with other marks, as when a sidecar adds a rating. */
  public Frame withMarks(Marks other) {
    return new Frame(
        file,
        paired,
        body,
        time,
        settings,
        flash,
        whiteBalance,
        optics,
        picture,
        other,
        provenance,
        findings);
  }

  /** The same frame with these findings instead. */
  public Frame withFindings(List<Finding> other) {
    return new Frame(
        file,
        paired,
        body,
        time,
        settings,
        flash,
        whiteBalance,
        optics,
        picture,
        marks,
        provenance,
        other);
  }
}
