package samelight.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.IVersionProvider;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.ParseResult;
import picocli.CommandLine.Spec;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.ShootException;
import samelight.engine.metadata.NoSuchShootException;

/** The {@code samelight} command. */
@Command(
    name = "samelight",
    description = "Carries one good edit over all frames made in the same light.",
    versionProvider = Main.Version.class,
    synopsisSubcommandLabel = "COMMAND",
    footerHeading = "%nExample:%n",
    footer = {
      "  samelight group 2026-06-13-garden",
      "",
      "Exit status: 0 done; 1 done, something needs attention; 2 wrong usage;",
      "3 unreadable or refused input; 4 could not write; 5 internal error."
    })
public final class Main implements Runnable {
  /** Every command, in the order of the day's work; each class is named after its command. */
  private static final List<Class<? extends ShootCommand>> COMMANDS =
      List.of(
          SecureCommand.class,
          AuditCommand.class,
          GroupCommand.class,
          KeepersCommand.class,
          ReviewCommand.class,
          ReferenceCommand.class,
          SplitCommand.class,
          JoinCommand.class,
          MoveCommand.class,
          LeaveOutCommand.class,
          NameCommand.class,
          ClockCommand.class,
          GradeCommand.class,
          TeachCommand.class,
          CarryCommand.class,
          ConfirmCommand.class,
          ExplainCommand.class,
          DeliverCommand.class,
          StatusCommand.class,
          TraceCommand.class,
          PaceCommand.class,
          RevertCommand.class);

  @Spec @Nullable CommandSpec spec;

  @Option(
      names = {"-h", "--help"},
      usageHelp = true,
      description = "Show this help and end.")
  boolean help;

  @Option(
      names = {"-V", "--version"},
      versionHelp = true,
      description = "Show the version and end.")
  boolean version;

  private Main() {}

  /** Runs one command and ends the process with its status. */
  public static void main(String[] args) {
    int status = run(args, Terminal.ofProcess());
    System.exit(status);
  }

  /** All commands, not yet bound to a terminal. */
  static CommandLine commandLine() {
    CommandLine line = new CommandLine(new Main());
    for (Class<? extends ShootCommand> command : COMMANDS) {
      line.addSubcommand(command);
    }
    return line;
  }

  /**
   * As many of the commands as these arguments call for, since a class's options cost some ten
   * milliseconds: the one that is named, or the names alone where a list of them is asked for.
   */
  static CommandLine commandLine(String[] args) {
    CommandLine line = new CommandLine(new Main());
    if (args.length == 1 && List.of("--help", "-h").contains(args[0])) {
      for (Class<? extends ShootCommand> command : COMMANDS) {
        line.addSubcommand(named(command));
      }
      return line;
    }
    for (Class<? extends ShootCommand> command : COMMANDS) {
      if (args.length > 0 && args[0].equals(nameOf(command))) {
        line.addSubcommand(command);
        return line;
      }
    }
    return commandLine();
  }

  /** A command of which only the name and the words about it are read. */
  private static CommandSpec named(Class<? extends ShootCommand> command) {
    CommandSpec spec = CommandSpec.create().name(nameOf(command));
    spec.usageMessage().description(command.getAnnotation(Command.class).description());
    return spec;
  }

  /** The command's name, after the class's: {@code leave-out} for {@code LeaveOutCommand}. */
  static String nameOf(Class<?> command) {
    String words = command.getSimpleName().replaceFirst("Command$", "");
    return words.replaceAll("(?<=.)([A-Z])", "-$1").toLowerCase(Locale.ROOT);
  }

  /** Runs one command. */
  static int run(String[] args, Terminal terminal) {
    CommandLine line = commandLine(args);
    line.setOut(terminal.out());
    line.setErr(terminal.err());
    line.setCaseInsensitiveEnumValuesAllowed(true);
    for (CommandLine sub : line.getSubcommands().values()) {
      if (sub.getCommand() instanceof ShootCommand command) {
        command.terminal(terminal);
      }
    }
    line.setParameterExceptionHandler(new WrongUsage(terminal));
    line.setExecutionExceptionHandler(new Failed(terminal));
    int status = line.execute(args);
    terminal.flush();
    return status;
  }

  @Override
  public void run() {
    throw new ParameterException(
        java.util.Objects.requireNonNull(spec).commandLine(), "a command is needed");
  }

  private static int wrongUsage(ParameterException e, String[] given, Terminal terminal) {
    CommandLine at = e.getCommandLine();
    String next = "Try `" + at.getCommandSpec().qualifiedName() + " --help`";
    PrintWriter err = terminal.err();
    err.println("samelight: " + Plain.text(String.valueOf(e.getMessage())));
    CommandLine.UnmatchedArgumentException.printSuggestions(e, err);
    err.println("samelight: " + next + ".");
    if (List.of(given).contains("--json")) {
      error(terminal, at, ExitStatus.USAGE, fields("", "", String.valueOf(e.getMessage()), next));
    }
    terminal.flush();
    return ExitStatus.USAGE.code();
  }

  private static int failed(Exception e, CommandLine at, ParseResult parsed, Terminal terminal) {
    ExitStatus status;
    Map<String, Object> fields;
    String message;
    if (e instanceof ShootException problem) {
      status = e instanceof CouldNotWriteException ? ExitStatus.NOT_WRITTEN : ExitStatus.REFUSED;
      message = problem.getMessage();
      fields = fields(problem.file(), problem.rule(), problem.actual(), problem.next());
    } else if (e instanceof NoSuchShootException) {
      status = ExitStatus.REFUSED;
      message = e.getMessage();
      fields = fields("", "", String.valueOf(message), "Name the shoot's folder");
    } else {
      status = ExitStatus.INTERNAL;
      String where = trace(e);
      message =
          "internal error, a bug in samelight: "
              + e
              + ". Nothing more was done. The trace is in "
              + where
              + ": please report it with the command you gave";
      fields = fields("", "no bug", e.toString(), "Report the trace in " + where);
    }
    terminal.err().println("samelight: " + Plain.text(String.valueOf(message)) + ".");
    if (parsed.hasMatchedOption("--json")
        || (parsed.hasSubcommand() && parsed.subcommand().hasMatchedOption("--json"))) {
      error(terminal, at, status, fields);
    }
    terminal.flush();
    return status.code();
  }

  private static void error(
      Terminal terminal, CommandLine at, ExitStatus status, Map<String, Object> fields) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("error", fields);
    Json.write(
        terminal.out(), new Answer(status, List.of(), json).json(at.getCommandSpec().name()));
  }

  private static Map<String, Object> fields(String file, String rule, String actual, String next) {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("file", file);
    fields.put("rule", rule);
    fields.put("actual", actual);
    fields.put("next", next);
    return fields;
  }

  /** Keeps the trace of a bug where a person can find it; returns where. */
  private static String trace(Exception e) {
    try {
      Path file = Files.createTempFile("samelight-trace-", ".txt");
      try (PrintWriter out = new PrintWriter(Files.newBufferedWriter(file))) {
        out.println("samelight " + Version.text() + ", Java " + System.getProperty("java.version"));
        e.printStackTrace(out);
      }
      return file.toString();
    } catch (IOException | SecurityException noFile) {
      e.printStackTrace();
      return "the lines above (no temporary file could be written)";
    }
  }

  // Classes rather than lambdas, here and above: a lambda that names a class of picocli keeps that
  // class out of the class-data archive, which takes none for an old Java that was linked.
  private record WrongUsage(Terminal terminal) implements CommandLine.IParameterExceptionHandler {
    @Override
    public int handleParseException(ParameterException e, String[] given) {
      return wrongUsage(e, given, terminal);
    }
  }

  private record Failed(Terminal terminal) implements CommandLine.IExecutionExceptionHandler {
    @Override
    public int handleExecutionException(Exception e, CommandLine at, ParseResult parsed) {
      return failed(e, at, parsed, terminal);
    }
  }

  /** The version of the jar. */
  static final class Version implements IVersionProvider {
    static String text() {
      String version = Main.class.getPackage().getImplementationVersion();
      return version == null ? "(from class files)" : version;
    }

    @Override
    public String[] getVersion() {
      return new String[] {"samelight " + text()};
    }
  }
}
