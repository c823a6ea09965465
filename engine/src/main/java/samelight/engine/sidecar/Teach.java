package samelight.engine.sidecar;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.RefusedInputException;
import samelight.engine.sidecar.NumberProperty.Unit;

/**
 * Makes an edit map from examples: one frame's sidecar before and after a stated change. Knows no
 * raw editor; finds the properties that changed, how their numbers follow, and what must stay with
 * its own frame.
 */
public final class Teach {
  private static final int MANY = 8;
  private static final int BLOB = 64;

  /** What to do where an example is refused. */
  static final String NEXT =
      "No edit map was written. `samelight carry SHOOT --print` prints the corrections as a list in"
          + " sixths of a stop";

  /**
   * One frame's sidecar before and after a change of one quantity.
   *
   * @param from the quantity before: stops, kelvin or Duv
   * @param to the quantity after
   * @param before sidecar, or a picture with its edits inside
   * @param after the same after the change
   */
  public record Step(double from, double to, Path before, Path after) {
    /**
     * @throws IllegalArgumentException if nothing is stated to change
     */
    public Step {
      if (!Double.isFinite(from) || !Double.isFinite(to) || from == to) {
        throw new IllegalArgumentException(
            "a step must go from one finite number to another, was " + from + " to " + to);
      }
    }
  }

  /** Two files to compare. */
  public record Pair(Path first, Path second) {}

  /**
   * Lowest and highest number that the editor takes.
   *
   * @param min lowest number
   * @param max highest number
   */
  public record Limits(double min, double max) {}

  /**
   * All examples.
   *
   * @param files the kind of file they are of, or null for both
   * @param exposure changes of exposure; at least one
   * @param kelvin changes of colour temperature
   * @param duv changes of tint
   * @param stays changes that must stay with their own frame: a crop, a local touch
   * @param untouched sidecars of two frames that nobody edited, or null
   * @param exposureLimits what the editor takes as exposure, or null where not stated
   * @param kelvinLimits what the editor takes as colour temperature, or null where not stated
   */
  public record Lessons(
      @Nullable FileKind files,
      List<Step> exposure,
      List<Step> kelvin,
      List<Step> duv,
      List<Pair> stays,
      @Nullable Pair untouched,
      @Nullable Limits exposureLimits,
      @Nullable Limits kelvinLimits) {
    /** Copies its lists. */
    public Lessons {
      exposure = List.copyOf(exposure);
      kelvin = List.copyOf(kelvin);
      duv = List.copyOf(duv);
      stays = List.copyOf(stays);
    }
  }

  /**
   * What was learned.
   *
   * @param map the edit map
   * @param notes what a person should know about it
   */
  public record Taught(EditMap map, List<String> notes) {}

  private final Lessons lessons;
  private final List<String> notes = new ArrayList<>();
  private final Map<Path, ExampleFile> files = new HashMap<>();

  /** In which kinds of lesson each property changed. */
  private final Map<PropertyName, Set<String>> kinds = new TreeMap<>();

  /** The same of each simple value. */
  private final Map<NumberPlace, Set<String>> placeKinds = new TreeMap<>();

  private Teach(Lessons lessons) {
    this.lessons = lessons;
  }

  /**
   * Learns.
   *
   * @throws RefusedInputException if an example can't be read, or if what it shows can't be
   *     compensated; the message says why
   * @throws IllegalArgumentException if there is no example of exposure
   */
  public static Taught learn(Lessons lessons) {
    if (lessons.exposure().isEmpty()) {
      throw new IllegalArgumentException("at least one example of exposure is needed, was none");
    }
    return new Teach(lessons).learn();
  }

  private Taught learn() {
    collect("exposure", lessons.exposure());
    collect("white balance", lessons.kelvin());
    collect("tint", lessons.duv());
    for (Pair p : lessons.stays()) {
      changed(p.first(), p.second()).forEach(n -> kind(n, "stays"));
      placesChanged(p.first(), p.second()).forEach(n -> placeKind(n, "stays"));
    }
    NumberProperty exposure =
        number("exposure", lessons.exposure(), Unit.STOPS, lessons.exposureLimits(), Set.of());
    Set<NumberPlace> found = new TreeSet<>(Set.of(exposure.place()));
    NumberProperty cct = null;
    if (!lessons.kelvin().isEmpty()) {
      cct = number("white balance", lessons.kelvin(), Unit.KELVIN, lessons.kelvinLimits(), found);
      found.add(cct.place());
    }
    NumberProperty duv = null;
    if (!lessons.duv().isEmpty()) {
      duv = number("tint", lessons.duv(), Unit.DUV, null, found);
      found.add(duv.place());
    }
    Set<PropertyName> numbers = new TreeSet<>();
    found.forEach(p -> numbers.add(p.property()));
    Set<PropertyName> stays = stays(numbers, found);
    Set<PropertyName> travels = travels(found);
    List<EditMap.Untouched> untouched = untouched(numbers, stays);
    Set<String> namespaces = new TreeSet<>();
    numbers.forEach(n -> namespaces.add(n.namespace()));
    kinds.keySet().forEach(n -> namespaces.add(n.namespace()));
    stays.forEach(n -> namespaces.add(n.namespace()));
    boolean inside = files.values().stream().anyMatch(ExampleFile::inside);
    if (inside && !files.values().stream().allMatch(ExampleFile::inside)) {
      throw refused(
          lessons.exposure().get(0).before(),
          "examples must all be sidecars or all be pictures",
          "both");
    }
    if (inside) {
      notes.add(
          "this editor keeps its edits inside the frame's own file: grades are read from there,"
              + " recipes are written as sidecars; try one frame first, and if the editor ignores"
              + " the sidecar this map is of no use to you");
    }
    EditMap map =
        new EditMap(
            EditMap.VERSION,
            lessons.files(),
            inside ? EditMap.Place.FRAME : null,
            List.copyOf(namespaces),
            exposure,
            cct,
            duv,
            List.copyOf(stays),
            List.copyOf(travels),
            untouched.stream().filter(u -> namespaces.contains(u.namespace())).toList());
    if (lessons.stays().isEmpty()) {
      notes.add(
          "no example of a crop or a local touch was given (--stays): before the first carry, see"
              + " in its list of what travels that none of these is in it");
    }
    return new Taught(map, List.copyOf(notes));
  }

  private void collect(String kind, List<Step> steps) {
    for (Step s : steps) {
      Set<PropertyName> changed = changed(s.before(), s.after());
      if (changed.isEmpty()) {
        throw refused(
            s.after(),
            "the example of " + kind + " must differ from " + s.before(),
            files.get(s.before()) != null && file(s.before()).sameBytes(file(s.after()))
                ? "the same bytes: the editor keeps its edits in a place of its own. Have it save"
                    + " the metadata out to files before and after, and have it read them again"
                    + " after a carry"
                : "the same edit: only dates and history changed, so the editor keeps its edits"
                    + " elsewhere");
      }
      changed.forEach(n -> kind(n, kind));
      placesChanged(s.before(), s.after()).forEach(n -> placeKind(n, kind));
    }
  }

  private void kind(PropertyName name, String kind) {
    kinds.computeIfAbsent(name, k -> new TreeSet<>()).add(kind);
  }

  private void placeKind(NumberPlace place, String kind) {
    placeKinds.computeIfAbsent(place, k -> new TreeSet<>()).add(kind);
  }

  private ExampleFile file(Path path) {
    return files.computeIfAbsent(path, ExampleFile::read);
  }

  /** Properties outside the standard's namespaces that differ between two files. */
  private Set<PropertyName> changed(Path before, Path after) {
    Map<PropertyName, String> a = file(before).canonical();
    Map<PropertyName, String> b = file(after).canonical();
    Set<PropertyName> all = new TreeSet<>(a.keySet());
    all.addAll(b.keySet());
    all.removeIf(n -> java.util.Objects.equals(a.get(n), b.get(n)));
    return all;
  }

  /** Simple values that differ, in the properties that do. */
  private Set<NumberPlace> placesChanged(Path before, Path after) {
    Set<NumberPlace> places = new TreeSet<>();
    for (PropertyName name : changed(before, after)) {
      for (Path p : List.of(before, after)) {
        XmpValue value = file(p).value(name);
        if (value != null) {
          places.addAll(NumberPlace.allIn(name, value));
        }
      }
    }
    places.removeIf(p -> java.util.Objects.equals(file(before).text(p), file(after).text(p)));
    return places;
  }

  /** The one property whose number follows the quantity. */
  private NumberProperty number(
      String kind, List<Step> steps, Unit unit, @Nullable Limits limits, Set<NumberPlace> taken) {
    Step first = steps.get(0);
    Set<PropertyName> inAll = new TreeSet<>(changed(first.before(), first.after()));
    int properties = file(first.after()).canonical().size();
    if (inAll.size() > MANY && inAll.size() * 2 > properties) {
      throw refused(
          first.after(),
          "a change of " + kind + " must change few properties",
          inAll.size()
              + " of "
              + properties
              + " changed, so that none can be told from the others");
    }
    Set<NumberPlace> places = placesChanged(first.before(), first.after());
    for (Step s : steps) {
      inAll.retainAll(changed(s.before(), s.after()));
      places.retainAll(placesChanged(s.before(), s.after()));
    }
    places.removeAll(taken);
    Map<NumberPlace, NumberFit.Fit> fits = new LinkedHashMap<>();
    List<String> reasons = new ArrayList<>();
    for (NumberPlace n : places) {
      try {
        fits.put(n, NumberFit.of(unit, points(n, steps)));
      } catch (NumberFit.NoFitException e) {
        reasons.add(n.words() + ": " + e.getMessage());
      }
    }
    for (PropertyName n : inAll) {
      if (places.stream().noneMatch(p -> p.property().equals(n))
          && taken.stream().noneMatch(p -> p.property().equals(n))) {
        reasons.add(
            n.property()
                + ": a structure or an array, of which no single number changed in every example");
      }
    }
    // a counter or a time that changes with every edit may look linear: it changed elsewhere too
    if (fits.size() > 1) {
      fits.keySet().removeIf(n -> placeKinds.getOrDefault(n, Set.of()).size() > 1);
    }
    if (fits.size() > 1) {
      throw refused(
          first.after(),
          "one property must follow " + kind,
          fits.size()
              + " do: "
              + String.join(", ", fits.keySet().stream().map(NumberPlace::words).toList()));
    }
    if (fits.isEmpty()) {
      throw refused(
          first.after(),
          "a number must follow " + kind,
          reasons.isEmpty()
              ? "no property that changed in every example"
              : String.join("; ", reasons));
    }
    NumberPlace place = fits.keySet().iterator().next();
    PropertyName name = place.property();
    NumberFit.Fit fit = java.util.Objects.requireNonNull(fits.get(place));
    notes.add(kind + ": " + place.words() + ", " + fit.words());
    for (PropertyName other : inAll) {
      if (!other.equals(name)
          && taken.stream().noneMatch(p -> p.property().equals(other))
          && kinds.getOrDefault(other, Set.of()).size() == 1) {
        notes.add(other.property() + " changes with " + kind + " and travels as it is");
      }
    }
    Double absent = null;
    for (Step s : steps) {
      if (file(s.before()).text(place) == null) {
        absent = rounded(fit.relation().number(fit.quantity(s.from())));
      }
    }
    return new NumberProperty(
        name.namespace(),
        name.property(),
        place.part(),
        fit.unit(),
        fit.relation().equals(Relation.IDENTITY) ? null : fit.relation(),
        limits == null ? null : limits.min(),
        limits == null ? null : limits.max(),
        absent,
        file(first.after()).text(place));
  }

  private static double rounded(double number) {
    return Math.rint(number * 1e6) / 1e6;
  }

  private List<NumberFit.Point> points(NumberPlace place, List<Step> steps)
      throws NumberFit.NoFitException {
    List<NumberFit.Point> points = new ArrayList<>();
    for (Step s : steps) {
      for (boolean after : new boolean[] {false, true}) {
        ExampleFile f = file(after ? s.after() : s.before());
        String text = f.text(place);
        if (text == null) {
          continue; // an editor may leave out what is as usual
        }
        Double number = NumberStyle.parse(text);
        if (number == null) {
          throw new NumberFit.NoFitException(
              text.length() > BLOB
                  ? "opaque text of " + text.length() + " characters"
                  : "not a number, \"" + text + "\"");
        }
        points.add(
            new NumberFit.Point(after ? s.to() : s.from(), number, NumberStyle.of(text, 0).half()));
      }
    }
    return points;
  }

  /**
   * What stays: what changed with a crop, what changes with every edit, what belongs to a frame.
   */
  private Set<PropertyName> stays(Set<PropertyName> numbers, Set<NumberPlace> places) {
    Set<PropertyName> stays = new TreeSet<>();
    kinds.forEach(
        (name, kind) -> {
          if (numbers.contains(name)) {
            return;
          }
          if (kind.contains("stays") || kind.size() > 1) {
            stays.add(name);
            if (!kind.contains("stays")) {
              notes.add(name.property() + " changes with every edit and stays with its frame");
            }
          }
        });
    for (NumberPlace n : places) {
      if (placeKinds.getOrDefault(n, Set.of()).contains("stays")) {
        throw refused(
            lessons.stays().get(0).second(),
            "what stays must not change exposure or white balance",
            n.words() + " changed");
      }
    }
    Pair untouched = lessons.untouched();
    if (untouched != null) {
      Set<String> namespaces = new TreeSet<>();
      kinds.keySet().forEach(k -> namespaces.add(k.namespace()));
      for (PropertyName n : changed(untouched.first(), untouched.second())) {
        if (namespaces.contains(n.namespace()) && !numbers.contains(n)) {
          stays.add(n);
          notes.add(n.property() + " belongs to the frame and stays with it");
        }
      }
    }
    stays.removeAll(numbers);
    return stays;
  }

  /**
   * Structures and arrays with a compensated number that travel whole: those of which no example
   * shows a part that must stay with its frame, and which hold no structures in arrays.
   */
  private Set<PropertyName> travels(Set<NumberPlace> numbers) {
    Set<PropertyName> travels = new TreeSet<>();
    Pair untouched = lessons.untouched();
    Set<NumberPlace> own =
        untouched == null ? Set.of() : placesChanged(untouched.first(), untouched.second());
    for (NumberPlace number : numbers) {
      if (number.whole()) {
        continue;
      }
      PropertyName name = number.property();
      boolean stays =
          placeKinds.entrySet().stream()
              .anyMatch(
                  e ->
                      e.getKey().property().equals(name)
                          && (e.getValue().contains("stays") || e.getValue().size() > 1));
      boolean framesOwn =
          own.stream().anyMatch(p -> p.property().equals(name) && !numbers.contains(p));
      XmpValue value = file(lessons.exposure().get(0).after()).value(name);
      if (stays || framesOwn || value == null || value.holdsStructuresInArrays()) {
        notes.add("of " + name.property() + " only the compensated numbers travel");
      } else if (travels.add(name)) {
        notes.add(name.property() + " travels whole, but for the compensated numbers in it");
      }
    }
    return travels;
  }

  private List<EditMap.Untouched> untouched(Set<PropertyName> numbers, Set<PropertyName> stays) {
    Pair pair = lessons.untouched();
    if (pair == null) {
      return List.of();
    }
    List<EditMap.Untouched> list = new ArrayList<>();
    ExampleFile a = file(pair.first());
    Map<PropertyName, String> b = file(pair.second()).canonical();
    a.canonical()
        .forEach(
            (name, value) -> {
              boolean same = value.equals(b.get(name));
              if (!stays.contains(name) && (same || numbers.contains(name))) {
                list.add(
                    new EditMap.Untouched(
                        name.namespace(), name.property(), same ? a.untouched(name) : null));
              }
              if (!same && numbers.contains(name)) {
                notes.add(
                    name.property()
                        + " differs between frames that nobody edited: a frame on which only it was"
                        + " set by hand counts as not edited");
              }
            });
    return list;
  }

  private static RefusedInputException refused(Path file, String rule, String actual) {
    return new RefusedInputException(file.toString(), rule, actual, NEXT);
  }
}
