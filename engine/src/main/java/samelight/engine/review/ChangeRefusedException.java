package samelight.engine.review;

/** A decision that can't be carried out; the message says why, in a sentence without its stop. */
public final class ChangeRefusedException extends RuntimeException {
  private static final long serialVersionUID = 1;

  ChangeRefusedException(String message) {
    super(message);
  }
}
