package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.io.Writer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;

class MainTest {
  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(
      strings = {
        "group",
        "reference",
        "split",
        "join",
        "grade",
        "carry",
        "explain",
        "revert",
        "pace",
        "status",
        "trace",
      })
  void help_everyCommand_showsAnExampleAndJson(String command) {
    Cli.Result result = Cli.run(command, "--help").is(ExitStatus.DONE);

    assertThat(result.out()).contains("Example:").contains("samelight " + command);
    assertThat(result.out()).contains("--json").contains("--help");
    assertThat(result.err()).isEmpty();
  }

  @Test
  void help_noCommand_listsThemAndTheStatuses() {
    Cli.Result result = Cli.run("--help").is(ExitStatus.DONE);

    assertThat(result.out()).contains("group").contains("carry").contains("Exit status");
  }

  @Test
  void version_isSaid() {
    assertThat(Cli.run("--version").is(ExitStatus.DONE).out()).startsWith("samelight ");
  }

  @ParameterizedTest
  @CsvSource({
    "'', a command is needed",
    "grup, grup",
    "group, SHOOT",
    "group a b, b",
    "carry x --edit-mop y, --edit-mop",
  })
  void usage_wrongArguments_saysWhatAndWhereHelpIs(String args, String said) {
    Object[] words = args.isEmpty() ? new Object[0] : args.split(" ", -1);

    Cli.Result result = Cli.run(words).is(ExitStatus.USAGE);

    assertThat(result.err()).contains(said).contains("--help");
    assertThat(result.out()).isEmpty();
  }

  @Test
  void error_withJson_isJsonToo() {
    JsonNode json = Cli.run("group", folder.resolve("nowhere"), "--json").json();

    assertThat(json.path("status").asInt()).isEqualTo(ExitStatus.REFUSED.code());
    assertThat(json.path("error").path("file").asText()).contains("nowhere");
    assertThat(json.path("error").path("rule").asText()).isNotEmpty();
    assertThat(json.path("error").path("next").asText()).isNotEmpty();
  }

  @Test
  void usage_withJson_isJsonToo() {
    JsonNode json = Cli.run("group", "--json").is(ExitStatus.USAGE).json();

    assertThat(json.path("status").asInt()).isEqualTo(ExitStatus.USAGE.code());
  }

  @Test
  void internalError_brokenOutput_saysWhereTheTraceIs() throws IOException {
    Path shoot = Shoots.mixed(folder);
    StringWriter err = new StringWriter();
    Writer broken =
        new StringWriter() {
          @Override
          public void write(String s, int from, int length) {
            throw new IllegalStateException("provoked by a test");
          }
        };

    int status =
        Main.run(
            new String[] {"group", shoot.toString()},
            new Terminal(new PrintWriter(broken), new PrintWriter(err), false, false));

    assertThat(status).isEqualTo(ExitStatus.INTERNAL.code());
    Matcher trace = Pattern.compile("trace is in (\\S+\\.txt)").matcher(err.toString());
    assertThat(trace.find()).as(err.toString()).isTrue();
    Path file = Path.of(trace.group(1));
    assertThat(file).content().contains("provoked by a test").contains("samelight.cli");
    Files.delete(file);
  }

  /** README and DEVELOPERS.md hold one table of the statuses; it is this enum. */
  @ParameterizedTest
  @ValueSource(strings = {"README.md", "DEVELOPERS.md"})
  void exitStatus_tableInTheDocs_isThisEnum(String doc) throws IOException {
    String text = Files.readString(Path.of("..", doc));
    Matcher row = Pattern.compile("(?m)^\\| ([0-9]) \\| ([^|]+) \\|$").matcher(text);
    StringBuilder found = new StringBuilder();
    while (row.find()) {
      found.append(row.group(1)).append(' ').append(row.group(2)).append('\n');
    }
    StringBuilder expected = new StringBuilder();
    for (ExitStatus status : ExitStatus.values()) {
      expected.append(status.code()).append(' ').append(status.meaning()).append('\n');
    }
    assertThat(found.toString()).isEqualTo(expected.toString());
  }

  @ParameterizedTest
  @CsvSource({
    "plain, plain",
    "'Zoë & 中文 👩‍🎤', 'Zoë & 中文 👩‍🎤'",
  })
  void plain_harmlessText_staysAsItIs(String text, String shown) {
    assertThat(Plain.text(text)).isEqualTo(shown);
  }

  @Test
  void plain_controls_areShownAsCodes() {
    assertThat(Plain.text("a\u001b[31mb\u0007\r\n\u009b\u202e\u2028\ud800c"))
        .isEqualTo("a<1B>[31mb<7><D><A><9B><202E><2028><D800>c");
  }

  @Test
  void progress_nobodyWatches_printsNothing() throws InterruptedException {
    StringWriter err = new StringWriter();
    Terminal quiet =
        new Terminal(new PrintWriter(new StringWriter()), new PrintWriter(err), false, false);
    try (ProgressLine line = new ProgressLine(quiet, "reading frame")) {
      Thread.sleep(120);
      line.at(1, 2);
    }
    quiet.flush();
    assertThat(err.toString()).isEmpty();
  }

  @Test
  void progress_watched_showsOneLineAndTakesItAway() throws InterruptedException {
    StringWriter err = new StringWriter();
    Terminal watched =
        new Terminal(new PrintWriter(new StringWriter()), new PrintWriter(err), true, false);
    try (ProgressLine line = new ProgressLine(watched, "reading frame")) {
      Thread.sleep(120);
      line.at(1, 2);
    }
    watched.flush();
    assertThat(err.toString()).contains("reading frame 1 of 2").endsWith("\r").doesNotContain("\n");
  }

  @Test
  void progress_ofAnotherStep_writesOverTheOneBefore() throws InterruptedException {
    StringWriter err = new StringWriter();
    Terminal watched =
        new Terminal(new PrintWriter(new StringWriter()), new PrintWriter(err), true, false);
    try (ProgressLine line = new ProgressLine(watched, "a step with a long name")) {
      Thread.sleep(120);
      line.at(1, 2);
      Thread.sleep(120);
      line.at("short", 1, 2);
    }
    watched.flush();
    assertThat(err.toString())
        .contains("\ra step with a long name 1 of 2\rshort 1 of 2" + " ".repeat(18));
  }

  @Test
  void progress_onceItsRateHasSettled_saysHowLongTheRestTakes() {
    assertThat(ProgressLine.text("frame", 1_000, 10_000, 900, 10))
        .isEqualTo("frame 1,000 of 10,000, 90 a second, 1:40 left");
    assertThat(ProgressLine.text("frame", 5, 10_000, 5, 10))
        .isEqualTo("frame 5 of 10,000, 0.5 a second, 5:33:10 left");
    assertThat(ProgressLine.text("frame", 1_000, 10_000, 900, 1))
        .isEqualTo("frame 1,000 of 10,000");
    assertThat(ProgressLine.text("frame", 10, 10, 0, 10)).isEqualTo("frame 10 of 10");
  }

  @Test
  void commands_asManyAsAreCalledFor_sayTheSame() {
    String all = Main.commandLine().getUsageMessage();
    assertThat(Main.commandLine(new String[] {"--help"}).getUsageMessage()).isEqualTo(all);
    assertThat(Main.commandLine(new String[] {"gruop"}).getUsageMessage()).isEqualTo(all);
    Main.commandLine()
        .getSubcommands()
        .forEach(
            (name, full) -> {
              Map<String, CommandLine> one = Main.commandLine(new String[] {name}).getSubcommands();
              assertThat(one).containsOnlyKeys(name);
              one.values()
                  .forEach(
                      line -> assertThat(line.getUsageMessage()).isEqualTo(full.getUsageMessage()));
              assertThat(Main.nameOf(full.getCommand().getClass())).isEqualTo(name);
            });
  }
}
