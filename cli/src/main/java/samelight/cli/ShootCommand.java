package samelight.cli;

import java.io.IOException;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** What all commands share: {@code --help}, {@code --json}, and how an answer is printed. */
abstract class ShootCommand implements Callable<Integer> {
  @Spec @Nullable CommandSpec spec;

  @Mixin CommonOptions common = new CommonOptions();

  private Terminal terminal = Terminal.ofProcess();

  /** Options of every command. */
  static final class CommonOptions {
    @Option(
        names = {"-h", "--help"},
        usageHelp = true,
        description = "Show this help and end.")
    boolean help;

    @Option(names = "--json", description = "Print the answer as JSON (UTF-8) instead of text.")
    boolean json;
  }

  /** Does the work. */
  abstract Answer answer() throws IOException;

  final Terminal terminal() {
    return terminal;
  }

  final void terminal(Terminal other) {
    this.terminal = other;
  }

  final CommandSpec command() {
    return java.util.Objects.requireNonNull(spec);
  }

  /** A complaint about an argument; exit status 2. */
  final picocli.CommandLine.ParameterException usage(String message) {
    return new picocli.CommandLine.ParameterException(command().commandLine(), message);
  }

  /** Says something that isn't the answer. */
  final void note(String line) {
    terminal.err().println("samelight: " + Plain.text(line));
    terminal.err().flush();
  }

  @Override
  public final Integer call() throws IOException {
    Answer answer = answer();
    if (common.json) {
      Json.write(terminal.out(), answer.json(command().name()));
    } else {
      for (String line : answer.lines()) {
        terminal.out().println(Plain.text(line));
      }
    }
    terminal.flush();
    return answer.status().code();
  }
}
