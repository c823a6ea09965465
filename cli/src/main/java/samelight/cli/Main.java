package samelight.cli;

import picocli.CommandLine;
import picocli.CommandLine.Command;

/** Entry point of the {@code samelight} command. */
@Command(
    name = "samelight",
    mixinStandardHelpOptions = true,
    description = "Carries one good edit over all frames made in the same light.")
public final class Main implements Runnable {
  private Main() {}

  /** Runs one command and ends the process with its status. */
  public static void main(String[] args) {
    System.exit(new CommandLine(new Main()).execute(args));
  }

  @Override
  public void run() {}
}
