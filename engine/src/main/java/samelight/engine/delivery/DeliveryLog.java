package samelight.engine.delivery;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.store.JsonIn;
import samelight.engine.store.JsonOut;

/**
 * What was delivered of a shoot, the earliest first: {@code samelight/deliveries.json}, whose
 * schema lies in the resources of this package.
 */
public final class DeliveryLog {
  /** Where it lies, relative to the shoot. */
  public static final String NAME = "samelight/deliveries.json";

  static final int VERSION = 1;

  private static final String NEXT =
      "Take the file from a backup; without it the shoot counts as not delivered";

  private DeliveryLog() {}

  /**
   * Reads what was delivered.
   *
   * @return all deliveries, the earliest first; none where there is no such file
   * @throws RefusedInputException if the file is damaged; the message names line and field
   */
  public static List<Delivery> read(ShootPaths shoot) {
    Path file = shoot.resolve(NAME);
    List<Delivery> deliveries = new ArrayList<>();
    if (!Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      return List.of();
    }
    try (JsonIn in = new JsonIn(Files.newInputStream(file), file.toString(), NEXT)) {
      in.document(
          f -> {
            switch (f) {
              case "version" -> in.whole(1, VERSION);
              case "deliveries" -> in.array(() -> deliveries.add(delivery(in)));
              default -> {
                return false;
              }
            }
            return true;
          },
          "version",
          "deliveries");
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(), "must be readable", DurableFile.reasonOf(e), NEXT, e);
    }
    return List.copyOf(deliveries);
  }

  /**
   * Adds a delivery, durably; the caller holds the shoot's lock. Where the last delivery to its
   * folder had the same files, nothing is added.
   *
   * @throws RefusedInputException if what is there is damaged
   * @throws samelight.engine.files.CouldNotWriteException if it can't be written; what was there is
   *     then untouched
   */
  public static void add(ShootPaths shoot, Delivery delivery) {
    List<Delivery> all = new ArrayList<>(read(shoot));
    for (int i = all.size() - 1; i >= 0; i--) {
      Delivery before = all.get(i);
      if (before.to().equals(delivery.to())) {
        if (before.sameAs(delivery)) {
          return;
        }
        break;
      }
    }
    all.add(delivery);
    Path file = shoot.resolve(NAME);
    try {
      Files.createDirectories(shoot.own());
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(file, e);
    }
    DurableFile.write(file, out -> JsonOut.write(out, json -> document(json, all)));
  }

  private static Delivery delivery(JsonIn in) throws IOException {
    var d =
        new Object() {
          Instant at = Instant.EPOCH;
          String from = "";
          String to = "";
          Delivery.Kind kind = Delivery.Kind.WHOLE;
          final List<DeliveredFile> files = new ArrayList<>();
        };
    in.object(
        f -> {
          switch (f) {
            case "at" -> d.at = in.checked(() -> Instant.parse(in.string()));
            case "from" -> d.from = in.string();
            case "to" -> d.to = in.string();
            case "kind" -> d.kind = in.oneOf(Delivery.Kind.class);
            case "files" -> in.array(() -> d.files.add(file(in)));
            default -> {
              return false;
            }
          }
          return true;
        },
        "at",
        "from",
        "to",
        "kind",
        "files");
    return in.checked(() -> new Delivery(d.at, d.from, d.to, d.kind, d.files));
  }

  private static DeliveredFile file(JsonIn in) throws IOException {
    var d =
        new Object() {
          String frame = "";
          String export = "";
          String name = "";
          String sha256 = "";
        };
    in.object(
        f -> {
          switch (f) {
            case "frame" -> d.frame = in.path();
            case "export" -> d.export = in.path();
            case "name" -> d.name = in.path();
            case "sha256" -> d.sha256 = in.string();
            default -> {
              return false;
            }
          }
          return true;
        },
        "frame",
        "export",
        "name",
        "sha256");
    return in.checked(() -> new DeliveredFile(d.frame, d.export, d.name, d.sha256));
  }

  private static void document(JsonOut out, List<Delivery> deliveries) throws IOException {
    out.field("version", VERSION);
    out.array(
        "deliveries",
        () -> {
          for (Delivery delivery : deliveries) {
            out.object(() -> write(out, delivery));
          }
        });
  }

  private static void write(JsonOut out, Delivery delivery) throws IOException {
    out.field("at", delivery.at().toString());
    out.field("from", delivery.from());
    out.field("to", delivery.to());
    out.field("kind", JsonOut.word(delivery.kind()));
    out.array(
        "files",
        () -> {
          for (DeliveredFile file : delivery.files()) {
            out.object(() -> write(out, file));
          }
        });
  }

  static void write(JsonOut out, DeliveredFile file) throws IOException {
    out.field("frame", file.frame());
    out.field("export", file.export());
    out.field("name", file.name());
    out.field("sha256", file.sha256());
  }
}
