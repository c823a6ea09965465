package samelight.engine.copies;

import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import samelight.engine.metadata.NamedKind;

/** Says what a run did: to each card, to each destination, and what a person should look at. */
final class SecureSummary {
  private final List<Target> targets;
  private final SecureRequest.DriveFinder drives;

  SecureSummary(List<Target> targets, SecureRequest.DriveFinder drives) {
    this.targets = targets;
    this.drives = drives;
  }

  SecureResult.CardResult card(CardWork work) {
    String why = why(work);
    Card card = work.card;
    return new SecureResult.CardResult(
        card.root().toString(),
        why.isEmpty() ? label(work) : null,
        card.files().size(),
        card.bytes(),
        work.copied.size(),
        work.before,
        work.unreadable,
        card.odd(),
        why);
  }

  private String why(CardWork work) {
    if (!work.unreadable.isEmpty()) {
      return "Do NOT put this card away: "
          + work.unreadable.size()
          + " of its files could not be read";
    }
    for (Target target : targets) {
      String broken = target.broken();
      if (broken != null) {
        return "Do NOT put this card away: " + target.folder() + " could not be written: " + broken;
      }
      for (CardFile file : work.card.files()) {
        if (!isThere(work, file, target)) {
          return "Do NOT put this card away: " + file.name() + " is not safe in " + target.folder();
        }
      }
    }
    return "";
  }

  private static boolean isThere(CardWork work, CardFile file, Target target) {
    String hash = work.hashes.get(file.name());
    if (hash == null) {
      return false;
    }
    for (CopyRecord r : target.manifest().sameContent(hash)) {
      if (r.verified() != null && r.size() == file.size()) {
        return true;
      }
    }
    return false;
  }

  /** What to write on a card: shoot, date, bodies, card, range of frames, how many. */
  private String label(CardWork work) {
    Manifest manifest = targets.get(0).manifest();
    Map<String, List<String>> names = new TreeMap<>();
    for (CardFile file : work.card.files()) {
      String hash = work.hashes.get(file.name());
      if (file.kind() == NamedKind.PICTURE && hash != null) {
        String body = "";
        for (CopyRecord r : manifest.sameContent(hash)) {
          body = r.body() == null ? "" : r.body();
        }
        String name = file.fileName();
        int dot = name.lastIndexOf('.');
        names
            .computeIfAbsent(body, b -> new ArrayList<>())
            .add(dot > 0 ? name.substring(0, dot) : name);
      }
    }
    StringBuilder line = new StringBuilder(manifest.name() + " | " + manifest.date());
    if (names.isEmpty()) {
      line.append(" | no pictures");
    }
    names.forEach(
        (body, stems) -> {
          Set<String> frames = new TreeSet<>(stems);
          line.append(" | ").append(body.isEmpty() ? "unknown body" : body).append(" ");
          line.append(stems.get(0)).append(" to ").append(stems.get(stems.size() - 1));
          line.append(", ").append(frames.size()).append(frames.size() == 1 ? " frame" : " frames");
        });
    return line + " | card " + work.card.label() + (work.twin ? " (twin)" : "");
  }

  SecureResult result(List<CardWork> works) {
    List<SecureResult.CardResult> cards = works.stream().map(this::card).toList();
    List<SecureResult.PlaceResult> places = new ArrayList<>();
    for (Target target : targets) {
      int readBack = 0;
      for (CopyRecord r : target.manifest().records().values()) {
        readBack += r.verified() == null ? 0 : 1;
      }
      places.add(
          new SecureResult.PlaceResult(
              target.folder().toString(),
              target.drive().name(),
              target.direct(),
              readBack,
              target.clashes(),
              target.refused(),
              target.broken()));
    }
    List<String> twin = new ArrayList<>();
    for (CardWork work : works) {
      if (work.twin) {
        Map<String, String> first = new TreeMap<>();
        works.stream().filter(w -> !w.twin).forEach(w -> first.putAll(w.hashes));
        twin.addAll(Twins.compare(first, work.hashes));
      }
    }
    // a destination that broke off lacks frames that the card has
    Target whole =
        targets.stream().filter(t -> t.broken() == null).findFirst().orElse(targets.get(0));
    List<String> holes =
        Numbering.holes(whole.manifest().records().values()).stream()
            .map(Numbering.Hole::toString)
            .toList();
    return new SecureResult(cards, places, holes, twin, notes(works));
  }

  private List<String> notes(List<CardWork> works) {
    List<String> notes = new ArrayList<>();
    Map<String, List<String>> byDrive = new LinkedHashMap<>();
    for (Target target : targets) {
      byDrive
          .computeIfAbsent(target.drive().id(), d -> new ArrayList<>())
          .add(target.folder().toString());
    }
    byDrive.forEach(
        (drive, folders) -> {
          if (folders.size() > 1) {
            notes.add(
                String.join(" and ", folders)
                    + " lie on one drive: when it fails, all these copies are gone");
          }
        });
    for (CardWork work : works) {
      try {
        List<String> own = byDrive.get(drives.of(work.card.root()).id());
        if (own != null) {
          notes.add(
              String.join(" and ", own)
                  + " on the same drive as the card "
                  + work.card.root()
                  + ": no copy against that drive's failure");
        }
      } catch (IOException e) {
        // the card is gone by now, which was told
      }
    }
    return notes;
  }
}
