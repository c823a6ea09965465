package samelight.engine.store;

import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.keepers.Keeping;
import samelight.engine.lighting.Decisions;
import samelight.engine.match.Grade;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;

/** Reads the decisions within a plan. */
final class DecisionsReader {
  private final JsonIn in;
  private final List<String> references = new ArrayList<>();
  private final List<String> splits = new ArrayList<>();
  private final List<Decisions.Join> joins = new ArrayList<>();
  private final List<Decisions.Move> moves = new ArrayList<>();
  private final List<String> leftOut = new ArrayList<>();
  private final Map<String, String> sectionNames = new LinkedHashMap<>();
  private final Map<String, Double> clocks = new LinkedHashMap<>();
  private final Map<String, Grade> grades = new LinkedHashMap<>();
  private double follow = 1;
  private Keeping keepers = Keeping.NONE;

  private DecisionsReader(JsonIn in) {
    this.in = in;
  }

  static PhotographerDecisions read(JsonIn in) throws IOException {
    DecisionsReader r = new DecisionsReader(in);
    in.object(r::field);
    return new PhotographerDecisions(
        new Decisions(r.references, r.splits, r.joins, r.moves, r.leftOut, r.sectionNames),
        r.clocks,
        r.grades,
        r.follow,
        r.keepers);
  }

  private boolean field(String name) throws IOException {
    switch (name) {
      case "follow" -> follow();
      case "references" -> in.array(() -> references.add(in.path()));
      case "splits" -> in.array(() -> splits.add(in.path()));
      case "joins" -> in.array(this::join);
      case "moves" -> in.array(this::move);
      case "leftOut" -> in.array(() -> leftOut.add(in.path()));
      case "sectionNames" -> in.array(this::sectionName);
      case "clocks" -> in.array(this::clock);
      case "keepers" -> keepers = KeepersJson.read(in);
      case "grades" -> in.array(this::grade);
      default -> {
        return false;
      }
    }
    return true;
  }

  private void follow() throws IOException {
    follow = in.number();
    if (!(follow >= 0 && follow <= 1)) {
      throw in.bad("must lie within 0 and 1", String.valueOf(follow));
    }
  }

  private void join() throws IOException {
    String[] frames = new String[2];
    in.object(
        name -> {
          switch (name) {
            case "first" -> frames[0] = in.path();
            case "second" -> frames[1] = in.path();
            default -> {
              return false;
            }
          }
          return true;
        },
        "first",
        "second");
    joins.add(new Decisions.Join(frames[0], frames[1]));
  }

  private void move() throws IOException {
    String[] frames = new String[2];
    in.object(
        name -> {
          switch (name) {
            case "frame" -> frames[0] = in.path();
            case "to" -> frames[1] = in.path();
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "to");
    moves.add(new Decisions.Move(frames[0], frames[1]));
  }

  private void sectionName() throws IOException {
    String[] entry = new String[2];
    in.object(
        name -> {
          switch (name) {
            case "frame" -> entry[0] = in.path();
            case "name" -> entry[1] = in.string();
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "name");
    sectionNames.put(entry[0], entry[1]);
  }

  private void clock() throws IOException {
    var c =
        new Object() {
          String body = "";
          double seconds;
        };
    in.object(
        name -> {
          switch (name) {
            case "body" -> c.body = in.string();
            case "seconds" -> c.seconds = PlanReader.clockOffset(in);
            default -> {
              return false;
            }
          }
          return true;
        },
        "body",
        "seconds");
    clocks.put(c.body, c.seconds);
  }

  private void grade() throws IOException {
    var g =
        new Object() {
          String frame = "";
          @Nullable Ev ev;
          @Nullable Kelvin kelvin;
          @Nullable Duv duv;
        };
    in.object(
        name -> {
          switch (name) {
            case "frame" -> g.frame = in.path();
            case "ev" -> g.ev = in.checked(() -> new Ev(in.number()));
            case "kelvin" -> g.kelvin = in.checked(() -> new Kelvin(in.number()));
            case "duv" -> g.duv = in.checked(() -> new Duv(in.number()));
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "ev");
    Ev ev = g.ev == null ? Ev.ZERO : g.ev;
    grades.put(g.frame, new Grade(ev, g.kelvin, g.duv));
  }
}
