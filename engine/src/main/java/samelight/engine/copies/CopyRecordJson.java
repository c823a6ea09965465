package samelight.engine.copies;

import java.io.IOException;
import java.time.Instant;
import java.time.LocalDateTime;
import org.jspecify.annotations.Nullable;
import samelight.engine.store.JsonIn;
import samelight.engine.store.JsonOut;

/** One copied file as JSON, in the list and in its log. */
final class CopyRecordJson {
  private CopyRecordJson() {}

  static CopyRecord read(JsonIn in) throws IOException {
    var r =
        new Object() {
          String path = "";
          long size;
          String sha256 = "";
          Instant modified = Instant.EPOCH;
          String card = "";
          String cardPath = "";
          String head = "";
          @Nullable String body;
          @Nullable LocalDateTime taken;
          Instant copied = Instant.EPOCH;
          @Nullable Instant verified;
          CopyRecord.ReadBackFrom readBack = CopyRecord.ReadBackFrom.NOT_YET;
        };
    in.object(
        f -> {
          switch (f) {
            case "path" -> r.path = in.string();
            case "size" -> r.size = in.whole(0, Long.MAX_VALUE);
            case "sha256" -> r.sha256 = in.string();
            case "modified" -> r.modified = in.checked(() -> Instant.parse(in.string()));
            case "card" -> r.card = in.string();
            case "cardPath" -> r.cardPath = in.string();
            case "head" -> r.head = in.string();
            case "body" -> r.body = in.stringOrNull();
            case "taken" -> r.taken = in.checked(() -> LocalDateTime.parse(in.string()));
            case "copied" -> r.copied = in.checked(() -> Instant.parse(in.string()));
            case "verified" -> r.verified = in.checked(() -> Instant.parse(in.string()));
            case "readBack" -> r.readBack = in.oneOf(CopyRecord.ReadBackFrom.class);
            default -> {
              return false;
            }
          }
          return true;
        },
        "path",
        "size",
        "sha256",
        "modified",
        "card",
        "cardPath",
        "head",
        "copied",
        "readBack");
    return in.checked(
        () ->
            new CopyRecord(
                r.path,
                r.size,
                r.sha256,
                r.modified.toEpochMilli(),
                r.card,
                r.cardPath,
                r.head,
                r.body,
                r.taken,
                r.copied,
                r.verified,
                r.readBack));
  }

  static void write(JsonOut out, CopyRecord r) throws IOException {
    LocalDateTime taken = r.taken();
    Instant verified = r.verified();
    out.field("path", r.path());
    out.field("size", r.size());
    out.field("sha256", r.sha256());
    out.field("modified", Instant.ofEpochMilli(r.modifiedMillis()).toString());
    out.field("card", r.card());
    out.field("cardPath", r.cardPath());
    out.field("head", r.head());
    out.optional("body", r.body());
    out.optional("taken", taken == null ? null : taken.toString());
    out.field("copied", r.copied().toString());
    out.optional("verified", verified == null ? null : verified.toString());
    out.field("readBack", JsonOut.word(r.readBack()));
  }
}
