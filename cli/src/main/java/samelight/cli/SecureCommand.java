package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.copies.ByteCount;
import samelight.engine.copies.Secure;
import samelight.engine.copies.SecureRequest;
import samelight.engine.copies.SecureResult;

/** Copies cards to several drives and verifies the copies. */
@Command(
    name = "secure",
    description = {
      "Copy one or more cards to one or more drives, read every copy back from its drive, compare.",
      "Cards are only read. Copies go to DIR/DATE-NAME/BODY with their own names; nothing is written"
          + " over, and an interrupted run is taken up by giving the same command again."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight secure CARD --to DIR --to DIR --name garden")
final class SecureCommand extends ShootCommand {
  private static final int MOST_HOLES = 12;

  @Parameters(
      paramLabel = "CARD",
      arity = "1..*",
      description = "The folder of a card, such as the one under which it is mounted.")
  List<Path> cards = new ArrayList<>();

  @Option(
      names = "--to",
      paramLabel = "DIR",
      required = true,
      description = "A folder on a drive to copy to; give two or more, on different drives.")
  List<Path> destinations = new ArrayList<>();

  @Option(
      names = "--name",
      paramLabel = "NAME",
      defaultValue = "shoot",
      description = "The shoot's name (default: ${DEFAULT-VALUE}).")
  String name = "shoot";

  @Option(
      names = "--twin",
      paramLabel = "CARD2",
      description =
          "The card of the camera's second slot: it is compared with CARD, and what only it has is"
              + " copied too.")
  @Nullable Path twin;

  @Override
  Answer answer() {
    if (name.isBlank()) {
      throw usage("--name must have at least one letter or digit, was \"" + name + "\"");
    }
    SecureResult result;
    try (BytesLine line = new BytesLine(terminal())) {
      result = Secure.run(SecureRequest.of(cards, twin, destinations, name), line);
    }
    ExitStatus status =
        result.notWritten()
            ? ExitStatus.NOT_WRITTEN
            : result.unreadable()
                ? ExitStatus.REFUSED
                : result.attention() ? ExitStatus.ATTENTION : ExitStatus.DONE;
    return new Answer(status, lines(result), json(result));
  }

  private static List<String> lines(SecureResult result) {
    List<String> out = new ArrayList<>();
    for (SecureResult.PlaceResult place : result.places()) {
      out.add("Copied to " + place.folder() + " (" + place.drive() + ")");
      out.add(
          "  "
              + place.readBack()
              + " files there, read back and compared"
              + (place.direct()
                  ? ", past the page cache"
                  : "; this file system can't read past the page cache, so some may have come from"
                      + " memory: audit it later, after the drive was taken off and put on again"));
      place.clashes().forEach(c -> out.add("  Same name, both kept: " + c));
      place.refused().forEach(r -> out.add("  NOT there: " + r));
      String broken = place.broken();
      if (broken != null) {
        out.add("  BROKEN OFF: " + broken + ". Mend that, then run the command again");
      }
    }
    for (SecureResult.CardResult card : result.cards()) {
      out.add("");
      out.add(
          "Card "
              + card.root()
              + ": "
              + card.files()
              + " files, "
              + ByteCount.text(card.bytes())
              + "; "
              + card.copied()
              + " copied now, "
              + card.before()
              + " were there");
      card.odd().forEach(o -> out.add("  Left out: " + o));
      card.unreadable().forEach(u -> out.add("  UNREADABLE: " + u));
      String label = card.label();
      if (label == null) {
        out.add("  " + card.why());
      } else {
        out.add("  This card may be put away; keep it until the gallery is delivered. Its label:");
        out.add("  " + label);
      }
    }
    if (!result.twin().isEmpty()) {
      out.add("");
      out.add("The card and its twin differ:");
      result.twin().forEach(t -> out.add("  " + t));
    }
    if (!result.holes().isEmpty()) {
      out.add("");
      out.addAll(first(result.holes()));
    }
    out.add("");
    if (result.places().size() == 1) {
      out.add("One copy is no backup: give two drives with --to, and keep a third copy elsewhere.");
    }
    result.notes().forEach(n -> out.add("Note: " + n + "."));
    return out;
  }

  /** As many holes as can be looked at: a list of hundreds would hide what was copied. */
  private static List<String> first(List<String> holes) {
    if (holes.size() <= MOST_HOLES) {
      return holes;
    }
    List<String> out = new ArrayList<>(holes.subList(0, MOST_HOLES));
    out.add("and " + (holes.size() - MOST_HOLES) + " more holes in the numbers; --json lists all.");
    return out;
  }

  private static Map<String, @Nullable Object> json(SecureResult result) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    List<Map<String, @Nullable Object>> cards = new ArrayList<>();
    for (SecureResult.CardResult card : result.cards()) {
      Map<String, @Nullable Object> c = new LinkedHashMap<>();
      c.put("card", card.root());
      c.put("mayBePutAway", card.mayBePutAway());
      c.put("label", card.label());
      c.put("why", card.why());
      c.put("files", card.files());
      c.put("bytes", card.bytes());
      c.put("copied", card.copied());
      c.put("before", card.before());
      c.put("unreadable", card.unreadable());
      c.put("leftOut", card.odd());
      cards.add(c);
    }
    json.put("cards", cards);
    List<Map<String, @Nullable Object>> places = new ArrayList<>();
    for (SecureResult.PlaceResult place : result.places()) {
      Map<String, @Nullable Object> p = new LinkedHashMap<>();
      p.put("folder", place.folder());
      p.put("drive", place.drive());
      p.put("readBack", place.readBack());
      p.put("pastPageCache", place.direct());
      p.put("clashes", place.clashes());
      p.put("refused", place.refused());
      p.put("broken", place.broken());
      places.add(p);
    }
    json.put("places", places);
    json.put("holes", result.holes());
    json.put("twin", result.twin());
    json.put("notes", result.notes());
    return json;
  }
}
