package samelight.engine.sidecar;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;

/**
 * Ratings that were proposed by us, in sidecars: {@code xmp:Rating} with the same value in our own
 * {@code slr:ProposedRating} beside it, so that it is told from a person's. A person who changes
 * the rating thereby makes it theirs.
 */
public final class Ratings {
  private static final String XMP = "http://ns.adobe.com/xap/1.0/";
  private static final PropertyName RATING = new PropertyName(XMP, "Rating");
  private static final PropertyName OURS = RecipeNamespace.name("ProposedRating");

  /** Rejected (xmp:Rating, ISO 16684-1). */
  private static final String OUT = "-1";

  private static final int BATCH = 1000;

  private Ratings() {}

  /**
   * What was written.
   *
   * @param carryId id in the journal, by which it can be reverted, or null where nothing was
   * @param marked frames rated -1 by us now
   * @param cleared frames whose earlier mark of ours was taken away
   * @param left frames whose sidecars were left alone, with the reason
   */
  public record Result(@Nullable String carryId, int marked, int cleared, List<String> left) {
    /** Copies its list. */
    public Result {
      left = List.copyOf(left);
    }
  }

  /** Frames whose rating is ours: a person has set none since. */
  public static Set<String> ours(Path shoot, List<Frame> frames) {
    ShootPaths paths = ShootPaths.of(shoot);
    Sidecars names = Sidecars.of(shoot, frames);
    Set<String> ours = new HashSet<>();
    for (Frame f : frames) {
      if (!f.marks().rated()) {
        continue; // neither ours nor a person's
      }
      try {
        byte[] bytes = SidecarFile.read(paths.resolveFollowing(names.pathFor(f)));
        if (bytes != null && isOurs(XmpPacket.parse(bytes))) {
          ours.add(f.file());
        }
      } catch (XmpRefusedException | RefusedInputException e) {
        // then it counts as a person's
      }
    }
    return ours;
  }

  private static boolean isRated(XmpPacket packet) throws XmpRefusedException {
    String rating = packet.text(RATING);
    Double number = rating == null ? null : NumberStyle.parse(rating);
    return rating != null && (number == null || number != 0);
  }

  private static boolean isOurs(XmpPacket packet) throws XmpRefusedException {
    String rating = packet.text(RATING);
    return rating != null && rating.equals(packet.text(OURS));
  }

  /**
   * Writes the rating -1 to the sidecars of frames that are proposed out and that nobody rated, and
   * takes our own earlier marks away from those that no longer are. One entry in the journal, to be
   * reverted like a carry.
   *
   * @param frames all frames of the shoot, with the ratings of their files and sidecars
   * @param out frames that are proposed out
   * @throws samelight.engine.files.CouldNotWriteException if the drive is full, gone or broken;
   *     what was written is rolled back, now or by the next command
   */
  public static Result mark(
      SidecarSession session, List<Frame> frames, Set<String> out, Progress progress) {
    ShootPaths paths = session.shoot();
    Sidecars names = Sidecars.of(paths.root(), frames);
    SidecarTransaction transaction =
        new SidecarTransaction(
            paths,
            session.disk(),
            Journal.Kind.CARRY,
            List.of(),
            session.now(),
            progress,
            frames.size());
    List<SidecarTransaction.Change> batch = new ArrayList<>();
    List<String> left = new ArrayList<>();
    int[] counts = new int[2];
    for (Frame f : frames) {
      boolean wanted = out.contains(f.file());
      if (!wanted && !f.marks().rated()) {
        continue;
      }
      try {
        SidecarTransaction.Change change =
            change(paths, names.pathFor(f), f.marks().rated(), wanted);
        if (change != null) {
          batch.add(change);
          counts[wanted ? 0 : 1]++;
        }
      } catch (XmpRefusedException | RefusedInputException e) {
        if (wanted) {
          left.add(f.file() + ": its sidecar was not touched (" + e.getMessage() + ")");
        }
      }
      if (batch.size() >= BATCH) {
        write(transaction, batch, left, counts);
      }
    }
    write(transaction, batch, left, counts);
    transaction.finish();
    return new Result(transaction.id(), counts[0], counts[1], left);
  }

  private static void write(
      SidecarTransaction transaction,
      List<SidecarTransaction.Change> batch,
      List<String> left,
      int[] counts) {
    List<SidecarTransaction.Done> done = transaction.write(batch);
    for (int i = 0; i < done.size(); i++) {
      if (done.get(i).fate() != SidecarTransaction.Fate.WRITTEN) {
        left.add(batch.get(i).sidecar() + ": " + done.get(i).detail());
        counts[0]--;
      }
    }
    batch.clear();
  }

  /** The change to one sidecar, or null where there is nothing to do or a person has rated. */
  private static SidecarTransaction.@Nullable Change change(
      ShootPaths paths, String sidecar, boolean rated, boolean wanted) throws XmpRefusedException {
    Path target = paths.resolveFollowing(sidecar);
    byte[] before = SidecarFile.read(target);
    XmpPacket packet = XmpPacket.parse(before == null ? XmpPacket.empty() : before);
    boolean ours = before != null && isOurs(packet);
    if (ours == wanted || (wanted && (rated || isRated(packet)))) {
      return null;
    }
    XmpEditor editor = new XmpEditor(packet);
    if (wanted) {
      editor.setText(RATING, "xmp", OUT);
      editor.setText(OURS, RecipeNamespace.PREFIX, OUT);
    } else {
      editor.remove(RATING);
      editor.remove(OURS);
    }
    byte[] after = packet.encoding.encode(editor.apply());
    Map<PropertyName, String> texts = new HashMap<>();
    if (wanted) {
      texts.put(RATING, OUT);
      texts.put(OURS, OUT);
    }
    XmpCheck.change(packet, XmpPacket.parse(after), Set.of(RATING, OURS), texts);
    return new SidecarTransaction.Change(paths.relative(target), target, before, after, null, null);
  }
}
