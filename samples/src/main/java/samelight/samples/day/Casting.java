package samelight.samples.day;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import samelight.samples.picture.Composition;
import samelight.samples.picture.Composition.Placed;
import samelight.samples.picture.Composition.PlacedThing;
import samelight.samples.picture.Figure;
import samelight.samples.picture.Place;
import samelight.samples.picture.StillLife;

/** Puts people into frames: who, how many, how close. */
final class Casting {

  private final Figure bride;
  private final Figure groom;
  private final Figure[] maids = new Figure[3];
  private final Figure[] party = new Figure[40];
  private final boolean greyCard;

  Casting(long seed, boolean greyCard) {
    this.greyCard = greyCard;
    bride = Figure.bride(seed);
    groom = Figure.groom(seed);
    Random r = new Random(seed + 5);
    for (int i = 0; i < maids.length; i++) {
      maids[i] = Figure.bridesmaid(r);
    }
    for (int i = 0; i < party.length; i++) {
      party[i] = Figure.guest(r);
    }
  }

  Composition compose(Place place, Act.Cast cast, Random r) {
    boolean portrait = cast != Act.Cast.FAMILY && r.nextInt(4) == 0;
    double scale = portrait ? 0.62 + 0.34 * r.nextDouble() : 0.7 + 0.7 * r.nextDouble();
    List<PlacedThing> things = cast == Act.Cast.THINGS ? things(r) : List.of();
    List<Placed> figures =
        cast == Act.Cast.THINGS ? List.of() : figures(people(cast, r), cast, portrait, r);
    return new Composition(
        place,
        portrait,
        0.2 + 0.6 * r.nextDouble(),
        0.5 + 0.1 * (r.nextDouble() - 0.5),
        scale,
        figures,
        things,
        place.litSide(),
        greyCard);
  }

  private List<Figure> people(Act.Cast cast, Random r) {
    List<Figure> who = new ArrayList<>();
    switch (cast) {
      case BRIDE_DRESSING -> {
        who.add(r.nextInt(3) == 0 ? maids[r.nextInt(3)] : bride);
        if (r.nextInt(3) == 0) {
          who.add(maids[r.nextInt(3)]);
        }
      }
      case GROOM_DRESSING -> {
        who.add(r.nextInt(4) == 0 ? guest(r) : groom);
        if (r.nextInt(3) == 0) {
          who.add(guest(r));
        }
      }
      case COUPLE -> {
        int pick = r.nextInt(6);
        if (pick != 0) {
          who.add(groom);
        }
        if (pick != 1) {
          who.add(bride);
        }
      }
      case FAMILY -> {
        who.add(groom);
        who.add(bride);
        int n = 1 + r.nextInt(5);
        for (int i = 0; i < n; i++) {
          who.add(guest(r));
        }
      }
      case DANCERS, GUESTS -> {
        int n = 1 + r.nextInt(3);
        for (int i = 0; i < n; i++) {
          who.add(r.nextInt(5) == 0 ? (r.nextBoolean() ? bride : groom) : guest(r));
        }
      }
      case THINGS -> {}
    }
    return who.stream().distinct().toList();
  }

  private Figure guest(Random r) {
    return party[r.nextInt(party.length)];
  }

  private static List<Placed> figures(List<Figure> who, Act.Cast cast, boolean portrait, Random r) {
    boolean crowd = who.size() > (portrait ? 1 : 2);
    int closeness = cast == Act.Cast.FAMILY ? 0 : r.nextInt(crowd ? 2 : 3);
    double height =
        switch (closeness) {
          case 0 -> 0.68 + 0.12 * r.nextDouble();
          case 1 -> 1.25 + 0.3 * r.nextDouble();
          default -> 2.1 + 0.5 * r.nextDouble();
        };
    double top = 0.1 + 0.07 * r.nextDouble() + (closeness == 0 ? 0.08 : 0);
    double between = height * (portrait ? 0.42 : 0.24) * (0.85 + 0.3 * r.nextDouble());
    double centre = 0.5 + (portrait ? 0.06 : 0.2) * (2 * r.nextDouble() - 1);
    if (portrait && who.size() > 1) {
      between = Math.min(between, 0.5 / (who.size() - 1));
    }
    if (who.size() > 3) {
      centre = 0.5;
      between = Math.min(between, 0.8 / who.size());
    }
    List<Placed> placed = new ArrayList<>();
    for (int i = 0; i < who.size(); i++) {
      double x = centre + between * (i - (who.size() - 1) / 2.0);
      placed.add(new Placed(who.get(i), x, top + height + 0.01 * r.nextGaussian(), height));
    }
    return placed;
  }

  private static List<PlacedThing> things(Random r) {
    StillLife[] all = StillLife.values();
    int n = 1 + r.nextInt(2);
    double height = n == 1 ? 0.6 + 0.2 * r.nextDouble() : 0.45 + 0.12 * r.nextDouble();
    List<PlacedThing> placed = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      double x = n == 1 ? 0.4 + 0.2 * r.nextDouble() : 0.3 + 0.4 * i;
      placed.add(new PlacedThing(all[r.nextInt(all.length)], x, 0.86, height));
    }
    return placed;
  }
}
