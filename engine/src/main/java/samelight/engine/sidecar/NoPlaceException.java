package samelight.engine.sidecar;

/** A sidecar that is understood, but has no place for a number that is compensated. */
final class NoPlaceException extends XmpRefusedException {
  NoPlaceException(String rule, String actual) {
    super(rule, actual);
  }
}
