package samelight.engine.delivery;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Frame;
import samelight.engine.timeline.TimedFrame;

/**
 * All that is checked before anything is written, and the pictures that can be delivered.
 *
 * @param findings what is wrong
 * @param notes what else is worth knowing
 * @param entries pictures of the gallery in its order
 * @param kept frames that are to be delivered
 */
record Check(
    List<DeliveryFinding> findings, List<String> notes, List<GalleryEntry> entries, int kept) {
  private static final String EXPORT_AGAIN = "Export it again";

  Check {
    findings = List.copyOf(findings);
    notes = List.copyOf(notes);
    entries = List.copyOf(entries);
  }

  /** Checks exports against a plan. */
  static Check of(DeliverRequest request, Path from, ExportFolder exports) {
    return new Work(request, from, exports).check();
  }

  static DeliveryFinding damaged(String export, String why) {
    return new DeliveryFinding(DeliveryFinding.Kind.DAMAGED, export, why, EXPORT_AGAIN);
  }

  private static final class Work {
    final DeliverRequest request;
    final DeliverRequest.Options options;
    final Path from;
    final ExportFolder exports;
    final Map<String, ExportHead> heads = new HashMap<>();
    final List<DeliveryFinding> findings = new ArrayList<>();
    final List<String> notes = new ArrayList<>();
    final Map<String, List<GalleryOrder.Variant>> variants = new HashMap<>();

    Work(DeliverRequest request, Path from, ExportFolder exports) {
      this.request = request;
      this.options = request.options();
      this.from = from;
      this.exports = exports;
      exports.heads().forEach(h -> heads.put(h.path(), h));
    }

    Check check() {
      List<Frame> frames = request.day().stream().map(TimedFrame::frame).toList();
      ExportMatch.Result match =
          ExportMatch.of(exports.heads().stream().map(ExportHead::export).toList(), frames);
      Kept kept = Kept.of(request.plan(), request.day());
      for (ExportMatch.Unmatched u : match.unmatched()) {
        add(
            DeliveryFinding.Kind.NO_FRAME,
            u.export(),
            u.reason(),
            "Give it the stem of its frame, or take it out of the folder of exports");
      }
      Set<String> dropped = doubled(match);
      for (ExportMatch.Pair p : match.pairs()) {
        ExportHead head = heads.get(p.export());
        if (head != null && !dropped.contains(p.export())) {
          pair(p, head, kept);
        }
      }
      sameBytes();
      List<GalleryOrder.Pictured> pictured = pictured(kept);
      if (options.early() == 0) {
        missing(kept);
      } else {
        pictured = early(pictured);
      }
      List<GalleryEntry> entries =
          GalleryOrder.of(pictured, request.plan().sections(), options.order(), options.openings());
      for (GalleryEntry e : entries) {
        look(e.head());
      }
      findings.sort(
          Comparator.comparing(DeliveryFinding::kind).thenComparing(DeliveryFinding::file));
      return new Check(findings, notes, entries, kept.sections().size());
    }

    private void add(DeliveryFinding.Kind kind, String file, String what, String next) {
      findings.add(new DeliveryFinding(kind, file, what, next));
    }

    /** Of exports that nothing tells apart the newest counts. */
    private Set<String> doubled(ExportMatch.Result match) {
      Set<String> dropped = new HashSet<>();
      for (ExportMatch.Doubled d : match.doubled()) {
        List<String> newest = new ArrayList<>(d.exports());
        newest.sort(
            Comparator.comparingLong((String e) -> modified(e)).reversed().thenComparing(e -> e));
        dropped.addAll(newest.subList(1, newest.size()));
        add(
            DeliveryFinding.Kind.DOUBLED,
            d.frame(),
            "is exported more than once: " + String.join(", ", d.exports()),
            "Take all but one away, or tell them apart by what follows the stem; with"
                + " --with-findings the newest goes, "
                + newest.get(0));
      }
      return dropped;
    }

    private long modified(String export) {
      ExportHead head = heads.get(export);
      return head == null ? 0 : head.modifiedMillis();
    }

    private void pair(ExportMatch.Pair p, ExportHead head, Kept kept) {
      String doubt = p.doubt();
      if (doubt != null) {
        add(
            DeliveryFinding.Kind.DOUBTFUL,
            p.export(),
            doubt,
            "Look whether it is of this shoot, then rename it or take it away");
      }
      if (!kept.sections().containsKey(p.frame())) {
        add(
            DeliveryFinding.Kind.NOT_KEPT,
            p.export(),
            "its frame " + p.frame() + " is " + kept.whyOut(p.frame()),
            "Rate the frame 1 or more (or take it in again with `samelight leave-out --back`) to"
                + " have it delivered, or take the export away");
        return;
      }
      String damage = head.damage();
      if (damage != null) {
        findings.add(damaged(p.export(), damage));
        variants.computeIfAbsent(p.frame(), f -> new ArrayList<>());
        return;
      }
      variants
          .computeIfAbsent(p.frame(), f -> new ArrayList<>())
          .add(new GalleryOrder.Variant(head, p.variant()));
    }

    /** Exports of one frame with other names and the same bytes. */
    private void sameBytes() {
      variants.forEach(
          (frame, own) -> {
            for (int i = 0; i < own.size(); i++) {
              for (int k = i + 1; k < own.size(); k++) {
                ExportHead a = own.get(i).head();
                ExportHead b = own.get(k).head();
                if (a.size() == b.size() && same(a.path(), b.path())) {
                  add(
                      DeliveryFinding.Kind.DOUBLED,
                      b.path(),
                      "has the same bytes as " + a.path(),
                      "Take one of them away");
                }
              }
            }
          });
    }

    private boolean same(String a, String b) {
      try {
        return Files.mismatch(from.resolve(a), from.resolve(b)) < 0;
      } catch (IOException e) {
        return false; // what can't be read shows when it is copied
      }
    }

    private void missing(Kept kept) {
      int others = 0;
      for (String frame : kept.sections().keySet()) {
        if (variants.containsKey(frame)) {
          continue;
        }
        if (kept.missed(frame)) {
          add(
              DeliveryFinding.Kind.MISSING,
              frame,
              "is kept and has no export",
              "Export it, or rate it -1 or leave it out with `samelight leave-out`");
        } else {
          others++;
        }
      }
      if (others > 0) {
        notes.add(
            others
                + " frames that are in no group, such as those of brackets, have no export and are"
                + " not missed");
      }
    }

    private List<GalleryOrder.Pictured> pictured(Kept kept) {
      List<GalleryOrder.Pictured> out = new ArrayList<>();
      for (TimedFrame f : request.day()) {
        String section = kept.sections().get(f.frame().file());
        List<GalleryOrder.Variant> own = variants.get(f.frame().file());
        if (section != null && own != null && !own.isEmpty()) {
          out.add(new GalleryOrder.Pictured(f, section, own));
        }
      }
      return out;
    }

    private List<GalleryOrder.Pictured> early(List<GalleryOrder.Pictured> pictured) {
      List<Early.Candidate> candidates = new ArrayList<>();
      for (GalleryOrder.Pictured p : pictured) {
        candidates.add(
            new Early.Candidate(p.frame().frame().file(), p.section(), GalleryOrder.rating(p)));
      }
      Set<String> chosen = Early.choose(candidates, options.early());
      return pictured.stream().filter(p -> chosen.contains(p.frame().frame().file())).toList();
    }

    private void look(ExportHead head) {
      String file = head.path();
      switch (head.colour().kind()) {
        case NONE -> {
          if (!options.embedSrgb()) {
            add(
                DeliveryFinding.Kind.NO_PROFILE,
                file,
                "has no colour profile",
                "Export as sRGB with its profile; if it is sRGB, --embed-srgb gives it one");
          }
        }
        case OTHER ->
            add(
                DeliveryFinding.Kind.OTHER_PROFILE,
                file,
                "has a colour profile that isn't sRGB: " + named(head.colour().name()),
                "Export as sRGB: other profiles look wrong in many viewers");
        case SRGB -> {}
      }
      if (head.longerEdge() < options.minEdge()) {
        add(
            DeliveryFinding.Kind.SMALL,
            file,
            String.format(
                Locale.ROOT,
                "is %d x %d pixels, and --min-edge asks for %d on the longer edge",
                head.width(),
                head.height(),
                options.minEdge()),
            "Export it larger");
      }
      if (options.minQuality() > 0 && head.quality() < options.minQuality()) {
        add(
            DeliveryFinding.Kind.LOW_QUALITY,
            file,
            "has JPEG quality " + head.quality() + " of 100, asked is " + options.minQuality(),
            "Export it with a higher quality");
      }
      if (head.orientation() != 1) {
        add(
            DeliveryFinding.Kind.TURNED,
            file,
            "is turned by a tag alone (Exif Orientation " + head.orientation() + ")",
            "Export it with its orientation applied: some viewers show it lying");
      }
    }

    private static String named(@Nullable String name) {
      return name == null || name.isEmpty() ? "one without a name" : name;
    }
  }
}
