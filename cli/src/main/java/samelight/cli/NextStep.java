package samelight.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import samelight.engine.account.FolderAccount;
import samelight.engine.account.FrameStanding;
import samelight.engine.account.Line;
import samelight.engine.account.SectionCount;

/**
 * What to do next in a job.
 *
 * @param words for a person
 * @param command to be pasted into a terminal, or empty where the step is in another program
 */
record NextStep(String words, String command) {
  /** The first step that isn't done. */
  static NextStep of(StatusCommand.Found found, Path shoot) {
    String name = Paste.word(shoot);
    FolderAccount account = found.account();
    if (!account.files(Line.MISSING).isEmpty()) {
      return new NextStep(
          "bring the missing files back from the other copy; this tells more",
          "samelight audit " + name);
    }
    boolean stale =
        !account.files(Line.NOT_READ).isEmpty()
            || !account.files(Line.GONE).isEmpty()
            || !account.changed().isEmpty();
    if (found.view() == null || stale) {
      return new NextStep(
          found.view() == null ? "find the groups" : "read what has changed",
          "samelight group " + name);
    }
    SectionCount all = SectionCount.total(found.sections());
    List<Path> maps = maps(found);
    String carry =
        "samelight carry "
            + name
            + (maps.isEmpty() ? "" : " --edit-map " + Paste.word(maps.get(maps.size() - 1)));
    if (all.grouped() > 0 && without(found, found.books().delivered()) == 0) {
      return new NextStep(
          "nothing, all that is kept is delivered; keep cards and copies until the couple has"
              + " confirmed",
          "");
    }
    if (all.exported() == 0) {
      NextStep edit = edit(found, name, all, carry);
      if (edit != null) {
        return edit;
      }
    }
    return exports(found, name, all);
  }

  private static @org.jspecify.annotations.Nullable NextStep edit(
      StatusCommand.Found found, String name, SectionCount all, String carry) {
    int ready = 0;
    var view = java.util.Objects.requireNonNull(found.view());
    for (var group : view.plan().groups()) {
      var reference = view.standing().frames().get(group.reference());
      if (reference != null && reference.graded()) {
        for (String frame : group.frames()) {
          var f = view.standing().frames().get(frame);
          ready += f != null && f.kept() && !f.carried() && !f.edited() ? 1 : 0;
        }
      }
    }
    if (ready > 0) {
      return new NextStep(
          ready
              + (ready == 1 ? " frame of a graded group waits" : " frames of graded groups wait")
              + " to be carried to",
          carry + " --dry-run");
    }
    if (all.graded() < all.groups()) {
      int left = all.groups() - all.graded();
      String what =
          left + (left == 1 ? " reference is" : " references are") + " to be graded in your editor";
      return found.paced()
          ? new NextStep(what + "; after that", carry + " --dry-run")
          : new NextStep(what + "; plan the sittings", "samelight pace " + name);
    }
    if (all.needEyes() > 0) {
      return new NextStep(
          all.needEyes()
              + (all.needEyes() == 1 ? " frame needs" : " frames need")
              + " eyes in your editor; what it kept of the carry",
          "samelight confirm " + name);
    }
    return null;
  }

  private static NextStep exports(StatusCommand.Found found, String name, SectionCount all) {
    Path from = found.books().from();
    String there = from == null || !found.books().fromThere() ? "EXPORTS" : Paste.word(from);
    var galleries = found.books().galleries();
    String to =
        galleries.isEmpty()
            ? "GALLERY"
            : Paste.word(galleries.get(galleries.size() - 1).delivery().to());
    String deliver = "samelight deliver " + name + " --from " + there + " --to " + to;
    if (all.exported() == 0) {
      return new NextStep(
          "export all that is kept from your editor as JPEG into a folder, here EXPORTS; then",
          deliver);
    }
    int missing = without(found, found.books().exported());
    return new NextStep(
        missing > 0
            ? missing
                + (missing == 1 ? " kept frame has" : " kept frames have")
                + " no export yet; then"
            : "deliver",
        deliver);
  }

  /**
   * Kept frames that aren't among some others; of frames in no group, such as those of brackets, a
   * delivery misses none.
   */
  private static int without(StatusCommand.Found found, Set<String> others) {
    var view = java.util.Objects.requireNonNull(found.view());
    int n = 0;
    for (FrameStanding f : view.standing().frames().values()) {
      n += f.kept() && f.grouped() && !others.contains(f.frame()) ? 1 : 0;
    }
    return n;
  }

  private static List<Path> maps(StatusCommand.Found found) {
    Path folder = found.paths().own().resolve("edit-maps");
    return ShootWork.maps(found.paths()).stream()
        .map(m -> folder.resolve(m.id() + ".json"))
        .toList();
  }
}
