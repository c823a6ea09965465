package samelight.engine.testing;

import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Flash;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Marks;
import samelight.engine.frame.Optics;
import samelight.engine.frame.Picture;
import samelight.engine.frame.SmallImage;
import samelight.engine.frame.WhiteBalance;
import samelight.engine.frame.WhitePoint;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;
import samelight.engine.quantity.Kelvin;

/** Frames made in memory, for tests. */
public final class FrameBuilder {
  private final String file;
  private String body = "one";
  private @Nullable Double seconds = 0.0;
  private @Nullable Double thirds = 0.0;
  private int mode;
  private int flash;
  private double bias;
  private @Nullable SmallImage small;
  private double kelvin = 5000;
  private Marks marks = Marks.NONE;
  private Optics optics = Optics.UNKNOWN;

  private FrameBuilder(String file) {
    this.file = file;
  }

  /** A frame of f/4, 1/125 s, ISO 400 at noon, without a picture. */
  public static FrameBuilder frame(String file) {
    return new FrameBuilder(file);
  }

  /** Sets the body's id. */
  public FrameBuilder body(String id) {
    body = id;
    return this;
  }

  /** Seconds after noon, or null for no time. */
  public FrameBuilder at(@Nullable Double secondsAfterNoon) {
    seconds = secondsAfterNoon;
    return this;
  }

  /** Shutter in thirds of a stop shorter than 1/125 s, or null for no settings. */
  public FrameBuilder thirds(@Nullable Integer shorter) {
    thirds = shorter == null ? null : shorter.doubleValue();
    return this;
  }

  /** Exif ExposureMode. */
  public FrameBuilder mode(int value) {
    mode = value;
    return this;
  }

  /** Exposure bias in EV. */
  public FrameBuilder bias(double ev) {
    bias = ev;
    return this;
  }

  /** Whether the flash fired. */
  public FrameBuilder flash(boolean fired) {
    flash = fired ? 1 : 0;
    return this;
  }

  /** The thumbnail. */
  public FrameBuilder small(SmallImage image) {
    small = image;
    return this;
  }

  /** As-shot colour temperature. */
  public FrameBuilder kelvin(double value) {
    kelvin = value;
    return this;
  }

  /** The lens. */
  public FrameBuilder lens(String name) {
    optics = new Optics(name, null);
    return this;
  }

  /** xmp:Rating. */
  public FrameBuilder rating(double value) {
    marks = new Marks(value, null, null, null, null);
    return this;
  }

  /** Makes the frame. */
  public Frame build() {
    CaptureSettings settings =
        thirds == null
            ? CaptureSettings.UNKNOWN
            : new CaptureSettings(
                new ExposureTime(Math.pow(2, -7 - thirds / 3)),
                new FNumber(4),
                new Iso(400),
                new Ev(bias),
                1,
                mode,
                5);
    CaptureTime time =
        seconds == null
            ? null
            : new CaptureTime(
                LocalDateTime.ofEpochSecond(
                    1_790_000_000L + (long) Math.floor(seconds),
                    (int) Math.round((seconds - Math.floor(seconds)) * 1e9) % 1_000_000_000,
                    ZoneOffset.UTC),
                null,
                true);
    return new Frame(
        file,
        null,
        new BodyId(body, "Hollin", "H1", body),
        time,
        settings,
        new Flash(flash),
        new WhiteBalance(
            WhiteBalance.Setting.AUTO,
            0,
            new WhitePoint(WhitePoint.Kind.NEUTRAL_AND_MATRIX, new Kelvin(kelvin), Duv.ZERO, null)),
        optics,
        new Picture(1, 6000, 4000, small, null, null, null),
        marks,
        Map.of(),
        List.of());
  }
}
