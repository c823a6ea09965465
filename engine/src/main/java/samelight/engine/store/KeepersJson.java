package samelight.engine.store;

import java.io.IOException;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.keepers.Keeping;
import samelight.engine.keepers.MustHave;
import samelight.engine.keepers.Take;

/** The keepers within a plan's decisions. */
final class KeepersJson {
  private KeepersJson() {}

  static void write(JsonOut out, Keeping keeping) throws IOException {
    out.field("keep", keeping.keep());
    out.array(
        "musts",
        () -> {
          for (MustHave must : keeping.musts()) {
            out.object(
                () -> {
                  out.field("text", must.text());
                  out.field("from", JsonOut.time(must.from()));
                  out.field("to", JsonOut.time(must.to()));
                });
          }
        });
    out.array(
        "takes",
        () -> {
          for (Take take : keeping.takes()) {
            out.object(() -> write(out, take));
          }
        });
  }

  private static void write(JsonOut out, Take take) throws IOException {
    out.field("frame", take.frame());
    out.field("framing", take.framing());
    out.field("ofFraming", take.ofFraming());
    out.field("keep", take.keep());
    out.optional("similarTo", take.similarTo());
    out.field("reason", take.reason());
    out.field("needsEyes", take.needsEyes());
    out.optional("sharpness", take.sharpness());
    out.field("atFocusPoint", take.atFocusPoint());
    out.optional("clipped", take.clipped());
    out.optional("stops", take.stops());
  }

  static Keeping read(JsonIn in) throws IOException {
    var k =
        new Object() {
          int keep;
          final List<MustHave> musts = new ArrayList<>();
          final List<Take> takes = new ArrayList<>();
        };
    in.object(
        name -> {
          switch (name) {
            case "keep" -> k.keep = in.integer(0, 1_000_000);
            case "musts" -> in.array(() -> k.musts.add(must(in)));
            case "takes" -> in.array(() -> k.takes.add(take(in)));
            default -> {
              return false;
            }
          }
          return true;
        },
        "keep");
    return new Keeping(k.keep, k.musts, k.takes);
  }

  private static MustHave must(JsonIn in) throws IOException {
    var m =
        new Object() {
          String text = "";
          @Nullable LocalDateTime from;
          @Nullable LocalDateTime to;
        };
    in.object(
        name -> {
          switch (name) {
            case "text" -> m.text = in.string();
            case "from" -> m.from = PlanReader.time(in);
            case "to" -> m.to = PlanReader.time(in);
            default -> {
              return false;
            }
          }
          return true;
        },
        "text",
        "from",
        "to");
    LocalDateTime from = m.from;
    LocalDateTime to = m.to;
    if (from == null || to == null) {
      throw in.bad("a must-have needs the time from which and to which it counts", "null");
    }
    return in.checked(() -> new MustHave(m.text, from, to));
  }

  private static Take take(JsonIn in) throws IOException {
    var t =
        new Object() {
          String frame = "";
          String framing = "";
          int of = 1;
          boolean keep = true;
          @Nullable String similarTo;
          String reason = "";
          String needsEyes = "";
          @Nullable Double sharpness;
          boolean focus;
          @Nullable Double clipped;
          @Nullable Double stops;
        };
    in.object(
        name -> {
          switch (name) {
            case "frame" -> t.frame = in.path();
            case "framing" -> t.framing = in.path();
            case "ofFraming" -> t.of = in.integer(1, 10_000_000);
            case "keep" -> t.keep = in.bool();
            case "similarTo" -> t.similarTo = in.path();
            case "reason" -> t.reason = in.sharedString();
            case "needsEyes" -> t.needsEyes = in.sharedString();
            case "sharpness" -> t.sharpness = in.numberOrNull();
            case "atFocusPoint" -> t.focus = in.bool();
            case "clipped" -> t.clipped = in.numberOrNull();
            case "stops" -> t.stops = in.numberOrNull();
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "framing",
        "keep");
    return in.checked(
        () ->
            new Take(
                t.frame,
                t.framing,
                t.of,
                t.keep,
                t.similarTo,
                t.reason,
                t.needsEyes,
                t.sharpness,
                t.focus,
                t.clipped,
                t.stops));
  }
}
