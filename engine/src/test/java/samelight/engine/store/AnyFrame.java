package samelight.engine.store;

import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Finding;
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

/** Frames with any value that the records allow, unknowns among them. */
final class AnyFrame {
  private AnyFrame() {}

  /** Lists of frames with distinct paths. */
  static Arbitrary<List<Frame>> lists() {
    return frame().list().ofMaxSize(8).map(AnyFrame::distinct);
  }

  private static List<Frame> distinct(List<Frame> frames) {
    Map<String, Frame> byFile = new LinkedHashMap<>();
    frames.forEach(f -> byFile.putIfAbsent(f.file(), f));
    return List.copyOf(byFile.values());
  }

  static Arbitrary<Frame> frame() {
    return Combinators.combine(head(), settings(), whiteBalance(), picture(), marks(), rest())
        .as(
            (head, settings, whiteBalance, picture, marks, rest) ->
                new Frame(
                    head.file(),
                    head.paired(),
                    head.body(),
                    head.time(),
                    settings,
                    rest.flash(),
                    whiteBalance,
                    rest.optics(),
                    picture,
                    marks,
                    rest.provenance(),
                    rest.findings(head.file())));
  }

  private record Head(String file, String paired, BodyId body, CaptureTime time) {}

  private record Rest(Flash flash, Optics optics, Map<String, String> provenance, String words) {
    List<Finding> findings(String file) {
      return words.isEmpty() ? List.of() : List.of(new Finding(file, 7L, words, words, words));
    }
  }

  private static Arbitrary<Head> head() {
    Arbitrary<BodyId> body =
        Arbitraries.of(
            new BodyId("a", "Arden", "One", "77"), new BodyId("b \"<é", "", "\u0001", null));
    return Combinators.combine(path(), path().injectNull(0.5), body, time().injectNull(0.2))
        .as(Head::new);
  }

  static Arbitrary<String> path() {
    return name().list().ofMinSize(1).ofMaxSize(3).map(names -> String.join("/", names));
  }

  private static Arbitrary<String> name() {
    return Arbitraries.strings()
        .withChars("ab.é \"<>&'\u0301\u4e2d-_\n")
        .ofMinLength(1)
        .ofMaxLength(6)
        .filter(s -> !s.isBlank() && !s.equals(".") && !s.equals(".."));
  }

  private static Arbitrary<CaptureTime> time() {
    Arbitrary<LocalDateTime> local =
        Combinators.combine(
                Arbitraries.longs().between(0, 4_000_000_000L),
                Arbitraries.integers().between(0, 999_999_999))
            .as((s, n) -> LocalDateTime.ofEpochSecond(s, n, ZoneOffset.UTC));
    Arbitrary<ZoneOffset> offset =
        Arbitraries.integers().between(-12, 14).map(ZoneOffset::ofHours).injectNull(0.4);
    return Combinators.combine(local, offset, Arbitraries.of(true, false)).as(CaptureTime::new);
  }

  private static Arbitrary<CaptureSettings> settings() {
    return Combinators.combine(
            Arbitraries.doubles()
                .between(1e-6, 1e6)
                .ofScale(7)
                .map(ExposureTime::new)
                .injectNull(0.2),
            Arbitraries.doubles().between(0.3, 1024).ofScale(4).map(FNumber::new).injectNull(0.2),
            Arbitraries.doubles().between(1, 1e8).map(Iso::new).injectNull(0.2),
            Arbitraries.doubles().between(-5, 5).map(Ev::new).injectNull(0.2),
            Arbitraries.integers().between(0, 8),
            Arbitraries.integers().between(-1, 2),
            Arbitraries.of(0, 3, 255))
        .as(CaptureSettings::new);
  }

  private static Arbitrary<WhiteBalance> whiteBalance() {
    Arbitrary<CameraNeutral> neutral =
        Arbitraries.doubles()
            .between(0.01, 10)
            .ofScale(6)
            .map(r -> new CameraNeutral(r, 1 / r))
            .injectNull(0.5);
    Arbitrary<WhitePoint> point =
        Combinators.combine(
                Arbitraries.of(WhitePoint.Kind.class),
                Arbitraries.doubles()
                    .between(Kelvin.MIN, Kelvin.MAX)
                    .map(Kelvin::new)
                    .injectNull(0.3),
                Arbitraries.doubles().between(-0.2, 0.2).ofScale(5).map(Duv::new).injectNull(0.3),
                neutral)
            .as(WhitePoint::new);
    return Combinators.combine(
            Arbitraries.of(WhiteBalance.Setting.class), Arbitraries.of(0, 4, 255), point)
        .as(WhiteBalance::new);
  }

  private static Arbitrary<Picture> picture() {
    Arbitrary<EmbeddedJpeg> embedded =
        Arbitraries.longs()
            .between(0, 1L << 40)
            .map(offset -> new EmbeddedJpeg(offset, offset + 1, 160, 120))
            .injectNull(0.4);
    return Combinators.combine(
            Arbitraries.integers().between(1, 8),
            Arbitraries.integers().between(0, 20_000),
            small().injectNull(0.3),
            embedded,
            embedded,
            Arbitraries.of("highlight priority").injectNull(0.7))
        .as((o, side, image, first, last, b) -> new Picture(o, side, side, image, first, last, b));
  }

  private static Arbitrary<SmallImage> small() {
    return Combinators.combine(
            Arbitraries.integers().between(1, 9),
            Arbitraries.integers().between(1, 9),
            Arbitraries.bytes())
        .as(
            (w, h, value) -> {
              byte[] rgb = new byte[w * h * 3];
              for (int i = 0; i < rgb.length; i++) {
                rgb[i] = (byte) (value + i);
              }
              return new SmallImage(w, h, rgb);
            });
  }

  private static Arbitrary<Marks> marks() {
    return Combinators.combine(
            Arbitraries.of(-1.0, 0.0, 3.5, 5.0).injectNull(0.4),
            Arbitraries.of("sel\u202Eect", "").injectNull(0.4),
            Arbitraries.integers().injectNull(0.4),
            Arbitraries.doubles().between(0, 1).injectNull(0.4),
            Arbitraries.doubles().between(0, 1).injectNull(0.4))
        .as(Marks::new);
  }

  private static Arbitrary<Rest> rest() {
    Arbitrary<Optics> optics =
        Combinators.combine(
                Arbitraries.of("35 mm", "").injectNull(0.3),
                Arbitraries.doubles().between(1, 1000).injectNull(0.3))
            .as(Optics::new);
    return Combinators.combine(
            Arbitraries.integers().between(0, 65_535).map(Flash::new).injectNull(0.3),
            optics,
            Arbitraries.of(
                Map.of("time", "Exif 0x9003"),
                Map.of("iso", "Exif 0x8827", "time", "x"),
                Map.<String, String>of()),
            Arbitraries.of("", "what <b>holds</b> \u001b[31m"))
        .as(Rest::new);
  }
}
