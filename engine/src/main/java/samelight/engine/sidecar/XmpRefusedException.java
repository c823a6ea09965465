package samelight.engine.sidecar;

import samelight.engine.frame.Finding;

/** XMP that can't be understood, and therefore is never overwritten. */
class XmpRefusedException extends Exception {
  private final String rule;
  private final String actual;

  XmpRefusedException(String rule, String actual) {
    super(rule + "; found " + actual);
    this.rule = rule;
    this.actual = actual;
  }

  Finding finding(String file) {
    return new Finding(file, null, rule, actual, "the sidecar was not touched");
  }
}
