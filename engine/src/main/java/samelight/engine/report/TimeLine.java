package samelight.engine.report;

import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import samelight.engine.report.ShootSummary.BodyLine;
import samelight.engine.report.ShootSummary.FrameLine;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.SectionLine;

/**
 * The day as two strips over time: light in EV100 and white balance in mired. Coordinates are those
 * of an SVG picture {@link #WIDTH} wide. Long pauses take little room and are marked.
 *
 * @param marks one for each frame that has a time and a light
 * @param whites one for each frame that has a time and a colour temperature
 * @param bands groups as bars below the strips, in lanes where they overlap
 * @param sections sections as brackets above
 * @param breaks where a pause was shortened
 * @param hours marks of time
 * @param stops marks of EV100
 * @param kelvins marks of colour temperature
 * @param clocks corrections of clocks, from what the camera said to the shoot's time
 * @param legend the bodies with the number of their mark
 * @param lanes how many lanes the bands need
 */
public record TimeLine(
    List<Mark> marks,
    List<Mark> whites,
    List<Band> bands,
    List<Band> sections,
    List<Tick> breaks,
    List<Tick> hours,
    List<Tick> stops,
    List<Tick> kelvins,
    List<Clock> clocks,
    List<Body> legend,
    int lanes) {
  /** Width of the picture. */
  public static final int WIDTH = 1200;

  static final int LEFT = 46;
  static final int RIGHT = 1190;

  /** Top and foot of the strip of light. */
  static final int LIGHT_TOP = 40;

  static final int LIGHT_FOOT = 300;
  private static final int WHITE_HEIGHT = 110;
  private static final int LANE = 16;
  private static final int MOST_LANES = 4;

  /** A pause longer than this is shortened, in seconds. */
  private static final double PAUSE = 1500;

  private static final int BREAK = 24;

  /** More frames than this aren't drawn: the marks would cover each other. */
  private static final int MOST_MARKS = 6_000;

  /**
   * Outlines of the bodies' marks around a point, as path data that begins there: circle, triangle,
   * square, rhombus, triangle on its tip.
   */
  private static final List<String> OUTLINES =
      List.of(
          "m-3 0a3 3 0 1 0 6 0a3 3 0 1 0-6 0z",
          "m0-3.6l3.4 6.2h-6.8z",
          "m-2.7-2.7h5.4v5.4h-5.4z",
          "m0-3.9l3.9 3.9l-3.9 3.9l-3.9-3.9z",
          "m0 3.6l3.4-6.2h-6.8z");

  /** Different marks of bodies. */
  static final int SHAPES = OUTLINES.size();

  /** Around the mark of a reference. */
  private static final String RING = "m-6.5 0a6.5 6.5 0 1 0 13 0a6.5 6.5 0 1 0-13 0z";

  /** Above the mark of a frame with flash. */
  private static final String RAYS = "m0-5v-4m-3 4.4l-2.4-3m8.4 3l2.4-3";

  private static final DateTimeFormatter HOUR = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);

  /** A frame; shape is its body's. */
  public record Mark(
      int x,
      int y,
      int shape,
      String anchor,
      String says,
      boolean flash,
      boolean eyes,
      boolean ref) {
    /** Whether what it says is written to its left, not to its right. */
    public boolean left() {
      return x > WIDTH / 2;
    }
  }

  /**
   * A span of time with a label.
   *
   * @param number what stands for the label where that finds no room, or empty
   */
  public record Band(
      int x,
      int width,
      int lane,
      String anchor,
      String number,
      String label,
      String says,
      boolean odd) {
    /** The label, or its number, whichever there is room for. */
    public String fitting() {
      return fits(label) ? label : fits(number) ? number : "";
    }

    private boolean fits(String text) {
      return text.length() <= (width - 4) / 8;
    }
  }

  /** A mark of an axis. */
  public record Tick(int at, String label) {}

  /** A correction. */
  public record Clock(int from, int to, String says) {}

  /** A body and its mark. */
  public record Body(int shape, String text) {}

  /** Copies its lists. */
  public TimeLine {
    marks = List.copyOf(marks);
    whites = List.copyOf(whites);
    bands = List.copyOf(bands);
    sections = List.copyOf(sections);
    breaks = List.copyOf(breaks);
    hours = List.copyOf(hours);
    stops = List.copyOf(stops);
    kelvins = List.copyOf(kelvins);
    clocks = List.copyOf(clocks);
    legend = List.copyOf(legend);
  }

  /** The shapes that marks can have. */
  public static List<String> outlines() {
    return OUTLINES;
  }

  /** The ring around a reference's mark, as path data from its middle. */
  public static String ring() {
    return RING;
  }

  /** The rays above a mark, as path data from the mark. */
  public static String rays() {
    return RAYS;
  }

  /**
   * All marks of one kind as one path: a page of thousands of frames is drawn at once.
   *
   * @param eyes those of frames that need eyes, or those of the others
   */
  public String path(int shape, boolean eyes) {
    return path(marks, m -> m.shape() == shape && m.eyes() == eyes, OUTLINES.get(shape));
  }

  /** All marks of white balance of one shape as one path. */
  public String whitePath(int shape) {
    return path(whites, m -> m.shape() == shape, OUTLINES.get(shape));
  }

  /** The rings of all references as one path. */
  public String ringPath() {
    return path(marks, Mark::ref, RING);
  }

  /** The rays of all frames with flash as one path. */
  public String rayPath() {
    return path(marks, Mark::flash, RAYS);
  }

  /** Marks that lie on each other are drawn once. */
  private static String path(List<Mark> marks, Predicate<Mark> which, String outline) {
    StringBuilder path = new StringBuilder();
    Set<Integer> drawn = new HashSet<>();
    for (Mark m : marks) {
      if (which.test(m) && drawn.add(m.y() * WIDTH + m.x())) {
        path.append('M').append(m.x()).append(' ').append(m.y()).append(outline);
      }
    }
    return path.toString();
  }

  /** Sections of whose names the number alone finds room: they stand below the picture. */
  public List<Band> numbered() {
    return sections.stream()
        .filter(b -> !b.fitting().equals(b.label()) && !b.label().endsWith(" " + b.number()))
        .toList();
  }

  /** Where the strip of white balance begins. */
  public int whiteTop() {
    return LIGHT_FOOT + 46 + lanes * LANE;
  }

  /** Where it ends. */
  public int whiteFoot() {
    return whiteTop() + WHITE_HEIGHT;
  }

  /** Height of the picture. */
  public int height() {
    return whiteFoot() + 24;
  }

  /** Where a lane of bands lies. */
  public int laneTop(int lane) {
    return LIGHT_FOOT + 26 + lane * LANE;
  }

  /**
   * Draws a shoot.
   *
   * @param anchor anchor of a frame
   * @param groupAnchor anchor of a group
   */
  static TimeLine of(
      ShootSummary s, Function<String, String> anchor, Function<GroupLine, String> groupAnchor) {
    return new Drawing(s, anchor, groupAnchor).draw();
  }

  /** Groups and sections alone, without a look at the frames' light. */
  static TimeLine bands(ShootSummary s, Function<GroupLine, String> groupAnchor) {
    Drawing drawing = new Drawing(s, f -> "", groupAnchor);
    drawing.lay(drawing.frames());
    List<Band> bands = drawing.bands();
    return new TimeLine(
        List.of(),
        List.of(),
        bands,
        drawing.sections(),
        List.of(),
        List.of(),
        List.of(),
        List.of(),
        List.of(),
        List.of(),
        drawing.lanes);
  }

  private static double seconds(LocalDateTime time) {
    return time.toInstant(ZoneOffset.UTC).toEpochMilli() / 1000.0;
  }

  /** The work of drawing. */
  private static final class Drawing {
    private final ShootSummary summary;
    private final Function<String, String> anchor;
    private final Function<GroupLine, String> groupAnchor;
    private final Map<String, Integer> shapes = new HashMap<>();
    private final List<double[]> spans = new ArrayList<>(); // from, to, x, x
    private int lanes = 1;

    Drawing(
        ShootSummary summary,
        Function<String, String> anchor,
        Function<GroupLine, String> groupAnchor) {
      this.summary = summary;
      this.anchor = anchor;
      this.groupAnchor = groupAnchor;
    }

    TimeLine draw() {
      List<Body> legend = new ArrayList<>();
      for (BodyLine b : summary.bodies()) {
        int shape = legend.size() % SHAPES;
        shapes.put(b.clock().body().id(), shape);
        legend.add(new Body(shape, Wording.body(b)));
      }
      List<FrameLine> frames = frames();
      Set<String> references = new HashSet<>();
      summary.sections().forEach(s -> s.groups().forEach(g -> references.add(g.reference())));
      lay(frames);
      double[] ev =
          frames.stream().filter(f -> f.light() != null).mapToDouble(f -> light(f)).toArray();
      double low = Math.floor(Arrays.stream(ev).min().orElse(0) - 0.3);
      double high = Math.ceil(Arrays.stream(ev).max().orElse(1) + 0.3);
      double[] mired =
          frames.stream().filter(f -> f.kelvin() != null).mapToDouble(f -> mired(f)).toArray();
      double cool = Math.floor(Arrays.stream(mired).min().orElse(150) / 20) * 20;
      double warm = Math.ceil(Arrays.stream(mired).max().orElse(250) / 20 + 0.1) * 20;
      List<Band> bands = bands();
      TimeLine frame =
          new TimeLine(
              List.of(), List.of(), bands, List.of(), List.of(), List.of(), List.of(), List.of(),
              List.of(), List.of(), lanes);
      List<Mark> marks = new ArrayList<>();
      List<Mark> whites = new ArrayList<>();
      int number = 0;
      for (FrameLine f : frames) {
        if (number++ * (long) MOST_MARKS % frames.size() >= MOST_MARKS
            && frames.size() > MOST_MARKS
            && !references.contains(f.file())) {
          continue; // an even choice of a very large shoot
        }
        int x = x(f.time());
        if (f.light() != null) {
          marks.add(mark(f, x, y(light(f), low, high, LIGHT_TOP, LIGHT_FOOT), references));
        }
        if (f.kelvin() != null) {
          // warmer light, more mired, is higher up
          whites.add(
              mark(f, x, y(mired(f), cool, warm, frame.whiteTop(), frame.whiteFoot()), references));
        }
      }
      List<Tick> stops = new ArrayList<>();
      int by = high - low > 9 ? 2 : 1;
      for (double v = low; v <= high; v += by) {
        stops.add(
            new Tick(
                y(v, low, high, LIGHT_TOP, LIGHT_FOOT), String.format(Locale.ROOT, "%.0f", v)));
      }
      List<Tick> kelvins = new ArrayList<>();
      for (int k : new int[] {2000, 2500, 3200, 4000, 5000, 6500, 10000}) {
        if (1e6 / k >= cool && 1e6 / k <= warm) {
          kelvins.add(
              new Tick(
                  y(1e6 / k, cool, warm, frame.whiteTop(), frame.whiteFoot()),
                  String.format(Locale.ROOT, "%,d", k)));
        }
      }
      return new TimeLine(
          marks,
          whites,
          bands,
          sections(),
          breaks(),
          hours(),
          stops,
          kelvins,
          clocks(frames),
          legend,
          lanes);
    }

    /** Grouped frames that have a time. */
    private List<FrameLine> frames() {
      List<FrameLine> frames = new ArrayList<>();
      for (SectionLine section : summary.sections()) {
        for (GroupLine group : section.groups()) {
          group.frames().stream().filter(f -> f.time() != null).forEach(frames::add);
        }
      }
      return frames;
    }

    private static double light(FrameLine f) {
      return f.light() == null ? Double.NaN : f.light().stops();
    }

    private static double mired(FrameLine f) {
      return f.kelvin() == null ? Double.NaN : f.kelvin().toMired().value();
    }

    private Mark mark(FrameLine f, int x, int y, Set<String> references) {
      StringBuilder says = new StringBuilder(f.file());
      LocalDateTime time = f.time();
      if (time != null) {
        says.append(", ").append(time.toLocalTime().withNano(0));
      }
      if (f.light() != null) {
        says.append(String.format(Locale.ROOT, ", EV %.1f", light(f)));
      }
      if (f.kelvin() != null) {
        says.append(String.format(Locale.ROOT, ", %.0f K", f.kelvin().value()));
      }
      return new Mark(
          x,
          y,
          shapes.getOrDefault(f.body(), 0),
          anchor.apply(f.file()),
          says.toString(),
          f.flash(),
          !f.needsEyes().isEmpty(),
          references.contains(f.file()));
    }

    private static int y(double v, double low, double high, int top, int foot) {
      return (int) Math.round(foot - (v - low) / (high - low) * (foot - top));
    }

    /** Gives each stretch between long pauses its room. */
    private void lay(List<FrameLine> frames) {
      double[] t =
          frames.stream()
              .map(FrameLine::time)
              .filter(x -> x != null)
              .mapToDouble(TimeLine::seconds)
              .sorted()
              .toArray();
      if (t.length == 0) {
        return;
      }
      double from = t[0];
      double all = 0;
      for (int i = 1; i <= t.length; i++) {
        if (i == t.length || t[i] - t[i - 1] > PAUSE) {
          double to = Math.max(t[i - 1], from + 60);
          spans.add(new double[] {from, to, 0, 0});
          all += to - from;
          from = i < t.length ? t[i] : 0;
        }
      }
      int pauses = Math.min(spans.size() - 1, (RIGHT - LEFT) / 2 / BREAK);
      double scale = (RIGHT - LEFT - pauses * BREAK) / all;
      double at = LEFT;
      double gap = spans.size() > 1 ? (double) pauses * BREAK / (spans.size() - 1) : 0;
      for (double[] span : spans) {
        span[2] = at;
        span[3] = at + (span[1] - span[0]) * scale;
        at = span[3] + gap;
      }
    }

    private int x(@Nullable LocalDateTime time) {
      return time == null ? LEFT : x(seconds(time));
    }

    private int x(double t) {
      double x = LEFT;
      for (double[] span : spans) {
        if (t < span[0]) {
          break;
        }
        x = span[2] + Math.min(1, (t - span[0]) / (span[1] - span[0])) * (span[3] - span[2]);
      }
      return (int) Math.round(x);
    }

    private List<Band> bands() {
      List<Band> bands = new ArrayList<>();
      int[] end = new int[MOST_LANES];
      for (SectionLine section : summary.sections()) {
        for (GroupLine g : section.groups()) {
          if (g.from() == null || g.to() == null) {
            continue;
          }
          int from = x(g.from());
          int to = Math.max(from + 3, x(g.to()));
          int lane = 0;
          while (lane < MOST_LANES - 1 && end[lane] > from) {
            lane++;
          }
          end[lane] = Math.max(end[lane], to + 1);
          lanes = Math.max(lanes, lane + 1);
          bands.add(
              new Band(
                  from,
                  to - from,
                  lane,
                  groupAnchor.apply(g),
                  "",
                  g.id(),
                  "Group "
                      + g.id()
                      + ", "
                      + Wording.lightLine(g)
                      + ", "
                      + Wording.count(g.frames().size(), "frame"),
                  bands.size() % 2 == 1));
        }
      }
      return bands;
    }

    private List<Band> sections() {
      List<Band> out = new ArrayList<>();
      int[] end = new int[2];
      int number = 0;
      for (SectionLine s : summary.sections()) {
        number++; // as the chapters of the page are
        if (s.from() == null || s.to() == null) {
          continue;
        }
        int from = x(s.from());
        int to = Math.max(from + 4, x(s.to()));
        int lane = end[0] > from ? 1 : 0;
        end[lane] = Math.max(end[lane], to);
        out.add(
            new Band(
                from,
                to - from,
                lane,
                "section-" + number,
                String.valueOf(number),
                s.name(),
                s.name() + ", " + Wording.span(s.from(), s.to(), false),
                out.size() % 2 == 1));
      }
      return out;
    }

    private List<Tick> breaks() {
      List<Tick> out = new ArrayList<>();
      for (int i = 1; i < spans.size(); i++) {
        double pause = (spans.get(i)[0] - spans.get(i - 1)[1]) / 60;
        String words =
            pause < 90
                ? String.format(Locale.ROOT, "%.0f min", pause)
                : String.format(Locale.ROOT, "%.1f h", pause / 60);
        out.add(new Tick((int) ((spans.get(i - 1)[3] + spans.get(i)[2]) / 2), words));
      }
      return out;
    }

    private List<Tick> hours() {
      List<Tick> out = new ArrayList<>();
      double all = spans.stream().mapToDouble(s -> s[1] - s[0]).sum();
      long by = all > 6 * 3600 ? 3600 : all > 2 * 3600 ? 1800 : 600;
      int last = -100;
      for (double[] span : spans) {
        for (double t = Math.ceil(span[0] / by) * by; t <= span[1]; t += by) {
          int x = x(t);
          if (x - last >= 42) {
            out.add(
                new Tick(x, HOUR.format(LocalDateTime.ofEpochSecond((long) t, 0, ZoneOffset.UTC))));
            last = x;
          }
        }
      }
      return out;
    }

    /** From where a body's first frame would stand by its own clock to where it stands. */
    private List<Clock> clocks(List<FrameLine> frames) {
      List<Clock> out = new ArrayList<>();
      for (BodyLine b : summary.bodies()) {
        double offset = b.clock().offsetSeconds();
        double first =
            frames.stream()
                .filter(f -> f.body().equals(b.clock().body().id()))
                .map(FrameLine::time)
                .filter(t -> t != null)
                .mapToDouble(TimeLine::seconds)
                .min()
                .orElse(Double.NaN);
        if (Math.abs(offset) >= 1 && !Double.isNaN(first)) {
          out.add(
              new Clock(
                  x(Math.max(first - offset, spans.get(0)[0])),
                  x(first),
                  String.format(
                      Locale.ROOT, "%s: clock moved by %+.0f s", b.clock().body().id(), offset)));
        }
      }
      return out;
    }
  }
}
