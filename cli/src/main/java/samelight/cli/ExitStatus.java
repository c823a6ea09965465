package samelight.cli;

/** The exit statuses of every command. README and DEVELOPERS.md hold the same table, tested. */
public enum ExitStatus {
  /** Everything was done. */
  DONE(0, "done"),
  /** Done, and something needs a person's attention. */
  ATTENTION(1, "done, something needs attention"),
  /** The arguments were wrong; nothing was done. */
  USAGE(2, "wrong usage"),
  /** Input could not be read or was refused; nothing was written for it. */
  REFUSED(3, "unreadable or refused input"),
  /** Something could not be written. */
  NOT_WRITTEN(4, "could not write"),
  /** A bug: the message says where the trace is. */
  INTERNAL(5, "internal error (a bug; the message says where the trace is)");

  private final int code;
  private final String meaning;

  ExitStatus(int code, String meaning) {
    this.code = code;
    this.meaning = meaning;
  }

  /** The number that the process ends with. */
  public int code() {
    return code;
  }

  /** What it means, in the words of the documentation. */
  public String meaning() {
    return meaning;
  }
}
