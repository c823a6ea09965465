package samelight.cli;

import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;
import samelight.engine.keepers.Take;
import samelight.engine.match.Match;
import samelight.engine.report.ShootSummary;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.SectionLine;
import samelight.engine.report.Wording;

/** The cluster report for a program. */
final class SummaryJson {
  private SummaryJson() {}

  static Map<String, @Nullable Object> of(ShootSummary s) {
    Map<String, @Nullable Object> json = object();
    json.put("frames", s.frames());
    json.put("groups", s.groups());
    json.put("needEyes", s.needEyes());
    List<Object> bodies = new ArrayList<>();
    for (ShootSummary.BodyLine body : s.bodies()) {
      Map<String, @Nullable Object> b = object();
      b.put("id", body.clock().body().id());
      b.put("make", body.clock().body().make());
      b.put("model", body.clock().body().model());
      b.put("serial", body.clock().body().serial());
      b.put("frames", body.frames());
      b.put("clockOffsetSeconds", body.clock().offsetSeconds());
      b.put("clockSigmaSeconds", body.clock().sigmaSeconds());
      b.put("clock", Wording.clockSource(body.clock()));
      bodies.add(b);
    }
    json.put("bodies", bodies);
    json.put("sections", s.sections().stream().map(SummaryJson::section).toList());
    json.put("unmatched", s.unmatched());
    json.put("rejected", s.rejected());
    json.put("editedBefore", s.editedBefore());
    json.put("proposedOut", s.proposedOut().stream().map(SummaryJson::take).toList());
    Map<String, @Nullable Object> account = object();
    s.account().forEach((category, n) -> account.put(category.name().toLowerCase(Locale.ROOT), n));
    account.put("total", s.files());
    json.put("account", account);
    Map<String, @Nullable Object> notFrames = object();
    s.notFrames().forEach((f, c) -> notFrames.put(f, c.name().toLowerCase(Locale.ROOT)));
    json.put("notFrames", notFrames);
    json.put("findings", findings(s.findings()));
    return json;
  }

  private static Map<String, @Nullable Object> section(SectionLine s) {
    Map<String, @Nullable Object> json = object();
    json.put("id", s.id());
    json.put("name", s.name());
    json.put("from", time(s.from()));
    json.put("to", time(s.to()));
    json.put("groups", s.groups().stream().map(SummaryJson::group).toList());
    return json;
  }

  private static Map<String, @Nullable Object> group(GroupLine g) {
    Map<String, @Nullable Object> json = object();
    json.put("id", g.id());
    json.put("from", time(g.from()));
    json.put("to", time(g.to()));
    json.put("frames", g.frames().size());
    json.put("framesPerBody", g.framesPerBody());
    json.put("lightEv100", g.light() == null ? null : g.light().stops());
    json.put(
        "luminanceCdPerM2", g.luminance() == null ? null : g.luminance().candelasPerSquareMetre());
    var kelvin = g.kelvin();
    json.put("kelvin", kelvin == null ? null : kelvin.median().value());
    json.put("kelvinLow", kelvin == null ? null : kelvin.low().value());
    json.put("kelvinHigh", kelvin == null ? null : kelvin.high().value());
    json.put("isoLow", g.isoLow());
    json.put("isoHigh", g.isoHigh());
    json.put("flashFired", g.flashFired());
    json.put("reference", g.reference());
    json.put("graded", g.graded());
    json.put("spreadStops", g.spread() == null ? null : g.spread().stops());
    Map<String, @Nullable Object> eyes = object();
    g.needEyes().forEach(f -> eyes.put(f.file(), f.needsEyes()));
    json.put("needsEyes", eyes);
    return json;
  }

  static Map<String, @Nullable Object> match(Match m) {
    Map<String, @Nullable Object> json = object();
    json.put("frame", m.frame());
    json.put("reference", m.reference());
    json.put("stops", m.stops().stops());
    json.put("stopsSigma", m.stopsSigma().stops());
    json.put("mired", m.mired().value());
    json.put("miredSigma", m.miredSigma().value());
    json.put("duv", m.duv().value());
    json.put("needsEyes", m.needsEyes());
    return json;
  }

  static List<Map<String, @Nullable Object>> findings(List<Finding> findings) {
    List<Map<String, @Nullable Object>> list = new ArrayList<>();
    for (Finding finding : findings) {
      Map<String, @Nullable Object> json = object();
      json.put("file", finding.file());
      json.put("offset", finding.offset());
      json.put("rule", finding.rule());
      json.put("actual", finding.actual());
      json.put("action", finding.action());
      list.add(json);
    }
    return list;
  }

  static Map<String, @Nullable Object> object() {
    return new LinkedHashMap<>();
  }

  private static @Nullable String time(@Nullable LocalDateTime time) {
    return time == null ? null : time.toString();
  }

  /** What the keepers proposed for one frame. */
  static Map<String, @Nullable Object> take(Take t) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("frame", t.frame());
    json.put("framing", t.framing());
    json.put("ofFraming", t.ofFraming());
    json.put("keep", t.keep());
    json.put("similarTo", t.similarTo());
    json.put("reason", t.reason());
    json.put("needsEyes", t.needsEyes());
    json.put("sharpness", t.sharpness());
    json.put("atFocusPoint", t.atFocusPoint());
    json.put("clipped", t.clipped());
    json.put("stops", t.stops());
    return json;
  }
}
