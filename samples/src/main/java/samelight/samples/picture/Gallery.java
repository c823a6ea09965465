package samelight.samples.picture;

import java.lang.ref.SoftReference;
import java.util.EnumMap;
import java.util.Map;

/** Paints each place once, on first use; again, with the same result, if memory ran short since. */
final class Gallery {

  private static final Map<Place, SoftReference<Panorama>> PAINTED = new EnumMap<>(Place.class);

  private Gallery() {}

  static synchronized Panorama of(Place place) {
    SoftReference<Panorama> kept = PAINTED.get(place);
    Panorama p = kept == null ? null : kept.get();
    if (p == null) {
      p = paint(place, new Canvas(7919L * place.name().hashCode()));
      PAINTED.put(place, new SoftReference<>(p));
    }
    return p;
  }

  private static Panorama paint(Place place, Canvas canvas) {
    return switch (place) {
      case LOFT_WINDOWS -> IndoorPlaces.loftWindows(canvas);
      case LOFT_LAMP -> IndoorPlaces.loftLamp(canvas);
      case BOATHOUSE -> IndoorPlaces.boathouse(canvas);
      case LIME_WALK -> OutdoorPlaces.limeWalk(canvas);
      case BARN_ARCH -> IndoorPlaces.barnArch(canvas);
      case BARN_GUESTS -> IndoorPlaces.barnGuests(canvas);
      case COURTYARD -> OutdoorPlaces.courtyard(canvas);
      case TERRACE -> OutdoorPlaces.terrace(canvas);
      case TABLE -> IndoorPlaces.table(canvas);
      case LAKE -> OutdoorPlaces.lake(canvas);
      case HALL -> IndoorPlaces.hall(canvas);
      case DANCE_FLOOR -> IndoorPlaces.danceFloor(canvas);
      case BAR -> IndoorPlaces.bar(canvas);
    };
  }
}
