package samelight.engine.store;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.Finding;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Evidence;
import samelight.engine.match.Match;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.Section;

/** Reads a plan strictly: each value by itself, then what must hold between them. */
final class PlanReader {
  private static final String NEXT =
      "Mend that line, or move the file away and run `samelight group` (the decisions in it are"
          + " then gone); groups are changed by `samelight reference`, `split` and `join`";

  private static final double LONGEST_CLOCK_OFFSET = 4e9; // about 127 years

  /** Where something was said, for what can be checked only at the end. */
  private record Place(int line, String field) {}

  private final JsonIn in;
  private final List<BodyClock> bodies = new ArrayList<>();
  private final List<Section> sections = new ArrayList<>();
  private final List<LightingGroup> groups = new ArrayList<>();
  private final List<Place> groupPlaces = new ArrayList<>();
  private final Map<String, String> pairs = new LinkedHashMap<>();
  private final Map<String, Match> matches = new LinkedHashMap<>();
  private final Map<String, Place> matchPlaces = new HashMap<>();
  private final Map<String, String> unmatched = new LinkedHashMap<>();
  private final Map<String, Place> unmatchedPlaces = new HashMap<>();
  private final List<Finding> findings = new ArrayList<>();
  private final Set<String> ids = new HashSet<>();
  private PhotographerDecisions decisions = PhotographerDecisions.NONE;

  private PlanReader(JsonIn in) {
    this.in = in;
  }

  static Plan read(Path file) {
    try (InputStream stream = new BufferedInputStream(Files.newInputStream(file), 1 << 16);
        JsonIn in = new JsonIn(stream, file.toString(), NEXT)) {
      PlanReader reader = new PlanReader(in);
      in.document(reader::field, "version", "decisions", "bodies", "sections", "groups", "matches");
      reader.check();
      return new Plan(
          reader.bodies,
          reader.sections,
          reader.groups,
          reader.pairs,
          reader.matches,
          reader.unmatched,
          reader.decisions,
          reader.findings);
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(),
          "must be a plan that can be read",
          DurableFile.reasonOf(e),
          "Run `samelight group` on the shoot first",
          e);
    }
  }

  private boolean field(String name) throws IOException {
    switch (name) {
      case "version" -> version(in);
      case "decisions" -> decisions = DecisionsReader.read(in);
      case "bodies" -> in.array(this::body);
      case "sections" -> in.array(this::section);
      case "groups" -> in.array(this::group);
      case "pairs" -> in.array(this::pair);
      case "matches" -> in.array(this::match);
      case "unmatched" -> in.array(this::unmatched);
      case "findings" -> in.array(() -> findings.add(finding(in)));
      default -> {
        return false;
      }
    }
    return true;
  }

  static void version(JsonIn in) throws IOException {
    long version = in.whole(1, Integer.MAX_VALUE);
    if (version > PlanFile.VERSION) {
      throw in.bad(
          "must be a version that this samelight knows, 1 to " + PlanFile.VERSION,
          version + ", written by a later one");
    }
  }

  private void unique(String kind, String id) {
    if (!ids.add(kind + " " + id)) {
      throw in.bad("ids must be distinct", kind + " \"" + id + "\" twice");
    }
  }

  private void body() throws IOException {
    var b =
        new Object() {
          String id = "";
          String make = "";
          String model = "";
          @Nullable String serial;
          double offset;
          @Nullable Double sigma;
          BodyClock.Source source = BodyClock.Source.UNKNOWN;
        };
    in.object(
        name -> {
          switch (name) {
            case "id" -> b.id = in.string();
            case "make" -> b.make = in.string();
            case "model" -> b.model = in.string();
            case "serial" -> b.serial = in.stringOrNull();
            case "clockOffsetSeconds" -> b.offset = clockOffset(in);
            case "clockSigmaSeconds" -> b.sigma = in.numberOrNull();
            case "clockSource" -> b.source = in.oneOf(BodyClock.Source.class);
            default -> {
              return false;
            }
          }
          return true;
        },
        "id",
        "model",
        "serial",
        "clockOffsetSeconds");
    unique("body", b.id);
    bodies.add(
        in.checked(
            () ->
                new BodyClock(
                    new BodyId(b.id, b.make, b.model, b.serial), b.offset, b.sigma, b.source)));
  }

  static double clockOffset(JsonIn in) throws IOException {
    double offset = in.number();
    if (Math.abs(offset) > LONGEST_CLOCK_OFFSET) {
      throw in.bad(
          "must be seconds within ±" + (long) LONGEST_CLOCK_OFFSET, String.valueOf(offset));
    }
    return offset;
  }

  private void section() throws IOException {
    var s =
        new Object() {
          String id = "";
          String name = "";
          @Nullable LocalDateTime from;
          @Nullable LocalDateTime to;
        };
    in.object(
        name -> {
          switch (name) {
            case "id" -> s.id = in.sharedString();
            case "name" -> s.name = in.string();
            case "from" -> s.from = time(in);
            case "to" -> s.to = time(in);
            default -> {
              return false;
            }
          }
          return true;
        },
        "id",
        "name",
        "from",
        "to");
    unique("section", s.id);
    if (s.from != null && s.to != null && s.to.isBefore(s.from)) {
      throw in.bad("a section must not end before it begins", s.from + " to " + s.to);
    }
    sections.add(new Section(s.id, s.name, s.from, s.to));
  }

  static @Nullable LocalDateTime time(JsonIn in) throws IOException {
    String text = in.stringOrNull();
    if (text == null) {
      return null;
    }
    try {
      return LocalDateTime.parse(text);
    } catch (DateTimeParseException e) {
      throw in.bad(
          "must be a local date and time such as 2026-06-13T14:05:07.13", '"' + text + '"');
    }
  }

  private void group() throws IOException {
    var g =
        new Object() {
          String id = "";
          String section = "";
          String reference = "";
          final Set<String> frames = new LinkedHashSet<>();
        };
    in.object(
        name -> {
          switch (name) {
            case "id" -> g.id = in.string();
            case "section" -> g.section = in.sharedString();
            case "reference" -> g.reference = in.path();
            case "frames" ->
                in.array(
                    () -> {
                      if (!g.frames.add(in.path())) {
                        throw in.bad("a frame must be listed once", '"' + in.string() + '"');
                      }
                    });
            default -> {
              return false;
            }
          }
          return true;
        },
        "id",
        "section",
        "reference",
        "frames");
    unique("group", g.id);
    groups.add(
        in.checked(
            () -> new LightingGroup(g.id, g.section, g.reference, new ArrayList<>(g.frames))));
    groupPlaces.add(new Place(in.line(), in.where()));
  }

  private void pair() throws IOException {
    String[] pair = new String[2];
    in.object(
        name -> {
          switch (name) {
            case "file" -> pair[0] = in.path();
            case "paired" -> pair[1] = in.path();
            default -> {
              return false;
            }
          }
          return true;
        },
        "file",
        "paired");
    pairs.put(pair[0], pair[1]);
  }

  private void match() throws IOException {
    var m =
        new Object() {
          String frame = "";
          String reference = "";
          String method = "";
          double stops;
          double stopsSigma;
          double mired;
          double miredSigma;
          double duv;
          double settings;
          double light;
          final List<String> needsEyes = new ArrayList<>();
        };
    in.object(
        name -> {
          switch (name) {
            case "frame" -> m.frame = in.path();
            case "reference" -> m.reference = in.path();
            case "method" -> m.method = in.sharedString();
            case "stops" -> m.stops = in.number();
            case "stopsSigma" -> m.stopsSigma = in.number();
            case "mired" -> m.mired = in.number();
            case "miredSigma" -> m.miredSigma = in.number();
            case "duv" -> m.duv = in.number();
            case "settingsStops" -> m.settings = in.number();
            case "lightStops" -> m.light = in.number();
            case "needsEyes" -> in.array(() -> m.needsEyes.add(in.sharedString()));
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "reference",
        "stops",
        "stopsSigma",
        "mired",
        "miredSigma",
        "duv",
        "needsEyes");
    Match match =
        in.checked(
            () ->
                new Match(
                    m.frame,
                    m.reference,
                    new Ev(m.stops),
                    new Ev(m.stopsSigma),
                    new Mired(m.mired),
                    new Mired(m.miredSigma),
                    new Duv(m.duv),
                    m.needsEyes,
                    new Evidence(
                        new Ev(m.settings), new Ev(m.light), m.method, List.of(), List.of())));
    if (matches.put(m.frame, match) != null) {
      throw in.bad("a frame must have one match", '"' + m.frame + "\" twice");
    }
    matchPlaces.put(m.frame, new Place(in.line(), in.where()));
  }

  private void unmatched() throws IOException {
    String[] entry = new String[2];
    in.object(
        name -> {
          switch (name) {
            case "frame" -> entry[0] = in.path();
            case "reason" -> entry[1] = in.sharedString();
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "reason");
    unmatched.put(entry[0], entry[1]);
    unmatchedPlaces.put(entry[0], new Place(in.line(), in.where()));
  }

  static Finding finding(JsonIn in) throws IOException {
    var f =
        new Object() {
          String file = "";
          @Nullable Long offset;
          String rule = "";
          String actual = "";
          String action = "";
        };
    in.object(
        name -> {
          switch (name) {
            case "file" -> f.file = in.sharedString();
            case "offset" -> f.offset = in.whole(0, Long.MAX_VALUE);
            case "rule" -> f.rule = in.sharedString();
            case "actual" -> f.actual = in.sharedString();
            case "action" -> f.action = in.sharedString();
            default -> {
              return false;
            }
          }
          return true;
        },
        "file",
        "rule",
        "actual",
        "action");
    return new Finding(f.file, f.offset, f.rule, f.actual, f.action);
  }

  private void check() {
    Map<String, LightingGroup> groupOf = new HashMap<>();
    for (int i = 0; i < groups.size(); i++) {
      LightingGroup group = groups.get(i);
      Place place = groupPlaces.get(i);
      if (!ids.contains("section " + group.section())) {
        throw in.bad(
            place.line,
            place.field + ".section",
            "must be the id of a section",
            '"' + group.section() + '"');
      }
      for (String frame : group.frames()) {
        LightingGroup other = groupOf.put(frame, group);
        if (other != null) {
          throw in.bad(
              place.line,
              place.field + ".frames",
              "a frame must be in one group",
              '"' + frame + "\" in " + other.id() + " and " + group.id());
        }
        Match match = matches.get(frame);
        if (match == null) {
          throw in.bad(
              place.line,
              place.field + ".frames",
              "each frame of a group must have a match",
              '"' + frame + "\" without one");
        }
        if (!match.reference().equals(group.reference())) {
          throw in.bad(
              place.line,
              place.field + ".reference",
              "must be the reference that its frames are matched to, " + match.reference(),
              '"' + group.reference() + '"');
        }
      }
    }
    matches.forEach(
        (frame, match) -> {
          if (!groupOf.containsKey(frame)) {
            Place place = matchPlaces.get(frame);
            throw in.bad(
                place == null ? 0 : place.line,
                (place == null ? "matches" : place.field) + ".frame",
                "must be a frame of a group",
                '"' + frame + '"');
          }
        });
    unmatched.forEach(
        (frame, reason) -> {
          LightingGroup group = groupOf.get(frame);
          if (group != null) {
            Place place = unmatchedPlaces.get(frame);
            throw in.bad(
                place == null ? 0 : place.line,
                (place == null ? "unmatched" : place.field) + ".frame",
                "must not be in a group as well",
                '"' + frame + "\", which is in " + group.id());
          }
        });
  }
}
