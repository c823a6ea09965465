package samelight.engine.frame;

import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import org.jspecify.annotations.Nullable;

/**
 * When the shutter opened, by the body's own clock.
 *
 * @param local DateTimeOriginal with SubSecTimeOriginal (Exif 2.2, p. 31)
 * @param offset OffsetTimeOriginal, or null where not given
 * @param subSecond whether the file gave a fraction of the second
 */
public record CaptureTime(LocalDateTime local, @Nullable ZoneOffset offset, boolean subSecond) {
  /** Seconds of the local time since 1970-01-01T00:00, with fraction, as if the zone were UTC. */
  public double localSeconds() {
    Instant instant = local.toInstant(ZoneOffset.UTC);
    return instant.getEpochSecond() + instant.getNano() * 1e-9;
  }
}
