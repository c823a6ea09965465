package samelight.engine.copies;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Stream;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootLock;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.NamedKind;

/** The shoot's folder in each destination: which it is, and whether it may be. */
final class Destinations {
  /** A shoot of one name within so many days is the same shoot. */
  private static final long SAME_SHOOT_DAYS = 3;

  private static final int PICTURES_ASKED_FOR_DATE = 50;

  private final SecureRequest request;

  Destinations(SecureRequest request) {
    this.request = request;
  }

  private static void refuseSameCards(List<CardWork> works) {
    Set<Path> roots = new HashSet<>();
    for (CardWork work : works) {
      for (Path other : roots) {
        if (other.startsWith(work.card.root()) || work.card.root().startsWith(other)) {
          throw new RefusedInputException(
              work.card.root().toString(),
              "each card must be given once, and none may lie in another",
              "also " + other,
              "Name each card's own folder");
        }
      }
      roots.add(work.card.root());
    }
  }

  private List<Path> destinations(List<CardWork> works) {
    List<Path> out = new ArrayList<>();
    for (Path to : request.destinations()) {
      Path real;
      try {
        real = to.toRealPath();
      } catch (IOException e) {
        throw new RefusedInputException(
            to.toString(),
            "a destination must be a folder that exists",
            DurableFile.reasonOf(e),
            "Check that its drive is there; where it is, make the folder first",
            e);
      }
      if (!Files.isDirectory(real)) {
        throw new RefusedInputException(
            to.toString(), "a destination must be a folder", "a file", "Name a folder");
      }
      for (CardWork work : works) {
        if (real.startsWith(work.card.root())) {
          throw new RefusedInputException(
              to.toString(),
              "a destination may be neither a card nor a folder on it",
              real.equals(work.card.root())
                  ? "the card " + work.card.root()
                  : "a folder on the card " + work.card.root(),
              "Name a folder on another drive");
        }
      }
      if (out.contains(real)) {
        throw new RefusedInputException(
            to.toString(), "each destination must be given once", "it twice", "Give it once");
      }
      out.add(real);
    }
    return out;
  }

  /** The date of the first picture that has one; else of the first file. */
  private static LocalDate date(List<CardWork> works) {
    Facts facts = new Facts(new HashMap<>());
    Long oldest = null;
    for (CardWork work : works) {
      int asked = 0;
      for (CardFile file : work.card.files()) {
        if (file.kind() == NamedKind.PICTURE && asked++ < PICTURES_ASKED_FOR_DATE) {
          LocalDateTime taken = facts.taken(file.path());
          if (taken != null) {
            return taken.toLocalDate();
          }
        }
        oldest = oldest == null ? file.modifiedMillis() : Math.min(oldest, file.modifiedMillis());
      }
    }
    Instant at = oldest == null ? Instant.now() : Instant.ofEpochMilli(oldest);
    return at.atZone(ZoneId.systemDefault()).toLocalDate();
  }

  /** A shoot's name as part of a folder's. */
  static String folderName(LocalDate date, String name) {
    String safe = name.strip().replaceAll("[^\\p{L}\\p{N}._-]+", "-").replaceAll("^[.-]+|-+$", "");
    return date + "-" + (safe.isEmpty() ? "shoot" : safe);
  }

  /**
   * Opens the shoot's folder in each destination, made where missing.
   *
   * @param targets takes each as soon as it is open; the caller closes them, also after a failure
   */
  void open(List<CardWork> works, List<Target> targets) {
    refuseSameCards(works);
    List<Path> destinations = destinations(works);
    LocalDate date = date(works);
    String id = UUID.randomUUID().toString();
    for (int i = 0; i < destinations.size(); i++) {
      Path folder = shootFolder(destinations.get(i), date);
      for (CardWork work : works) {
        if (work.card.root().startsWith(folder) || folder.startsWith(work.card.root())) {
          throw new RefusedInputException(
              folder.toString(),
              "a copied shoot and a card may not lie in each other",
              "the card " + work.card.root(),
              "Name another destination");
        }
      }
      try {
        if (!Files.isDirectory(folder)) {
          Files.createDirectory(folder);
        }
        ShootPaths paths = ShootPaths.of(folder);
        ShootLock lock = ShootLock.take(paths);
        boolean made = false;
        try {
          Manifest manifest =
              Manifest.exists(folder)
                  ? Manifest.read(paths)
                  : Manifest.make(paths, id, request.name(), date);
          id = manifest.id();
          Target target = new Target(paths, request.drives().of(folder), lock, manifest);
          target.clearStrays();
          targets.add(target);
          made = true;
        } finally {
          if (!made) {
            lock.close();
          }
        }
      } catch (IOException e) {
        throw DurableFile.couldNotWrite(folder, e);
      }
    }
  }

  /** The folder of the shoot of this name about this date, made before or to be made. */
  private Path shootFolder(Path destination, LocalDate date) {
    try (Stream<Path> list = Files.list(destination)) {
      for (Path folder : list.filter(Files::isDirectory).sorted().toList()) {
        if (!Files.isSymbolicLink(folder) && Manifest.exists(folder)) {
          Manifest m;
          try {
            m = Manifest.read(ShootPaths.of(folder));
          } catch (RefusedInputException damaged) {
            if (folder.endsWith(folderName(date, request.name()))) {
              throw damaged;
            }
            continue;
          }
          if (m.name().equals(request.name())
              && Math.abs(ChronoUnit.DAYS.between(m.date(), date)) <= SAME_SHOOT_DAYS) {
            return folder;
          }
        }
      }
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(destination, e);
    }
    return destination.resolve(folderName(date, request.name()));
  }
}
