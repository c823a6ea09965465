package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;
import samelight.engine.sidecar.EditMap;

/** What README.md, DEVELOPERS.md and the help say can be typed and is true. */
class DocsTest {
  private static final Pattern COMMAND = Pattern.compile("`(samelight [^`]+)`");
  private static final Pattern WORD = Pattern.compile("\"[^\"]*\"|\\S+");
  private static final Pattern PROPERTY = Pattern.compile("slr:(\\w+)");

  @TempDir Path folder;

  private static String read(String name) throws IOException {
    return Files.readString(Path.of("..", name));
  }

  /** Placeholders as values that could stand there; what is optional is given. */
  private static String[] words(String command) {
    String typed =
        command
            .replaceAll("[\\[\\]…]", " ")
            .replace("BODY=SECONDS", "tern-8091=-247")
            .replace("STOPS", "+0.35")
            .replace("SHARE", "0.5")
            .replace("--kelvin K", "--kelvin 5000")
            .replace("--duv DUV", "--duv 0.002")
            .replace("--keep N", "--keep 2")
            .replace("--done N", "--done 2")
            .replace("--early N", "--early 40")
            .replace("PIXELS", "2048")
            .replace("--min-quality Q", "--min-quality 90")
            .strip();
    return WORD.matcher(typed)
        .results()
        .map(r -> r.group().replace("\"", ""))
        .skip(1)
        .toArray(String[]::new);
  }

  private static void parses(String command) {
    String[] words = words(command);
    if (words.length == 1 && !words[0].startsWith("-")) {
      assertThat(Main.commandLine().getSubcommands()).containsKey(words[0]);
      return;
    }
    assertThatCode(() -> Main.commandLine().parseArgs(words))
        .as(command)
        .doesNotThrowAnyException();
  }

  @Test
  void readme_everyCommandLine_canBeTyped() throws IOException {
    Matcher commands = COMMAND.matcher(read("README.md"));
    int n = 0;
    while (commands.find()) {
      parses(commands.group(1));
      n++;
    }
    assertThat(n).isGreaterThan(15);
  }

  @Test
  void readme_tableOfCommands_hasEachOnce() throws IOException {
    Matcher rows = Pattern.compile("(?m)^\\| `samelight ([\\w-]+)").matcher(read("README.md"));
    List<String> listed = new ArrayList<>();
    while (rows.find()) {
      listed.add(rows.group(1));
    }
    assertThat(listed)
        .containsExactlyInAnyOrderElementsOf(Main.commandLine().getSubcommands().keySet());
  }

  @Test
  void help_everyExample_canBeTyped() {
    for (CommandLine sub : Main.commandLine().getSubcommands().values()) {
      List<String> examples =
          String.join("\n", sub.getCommandSpec().usageMessage().footer())
              .replaceAll("\\\\\\s*\n", " ")
              .lines()
              .map(String::strip)
              .filter(line -> line.startsWith("samelight "))
              .toList();
      assertThat(examples).as(sub.getCommandName()).isNotEmpty();
      examples.forEach(DocsTest::parses);
    }
  }

  @Test
  void readme_editMap_isOne() throws IOException {
    String readme = read("README.md");
    int from = readme.indexOf("```json") + 7;
    Path map =
        Files.writeString(
            folder.resolve("map.json"), readme.substring(from, readme.indexOf("```", from)));

    assertThatCode(() -> EditMap.read(map)).doesNotThrowAnyException();
  }

  @Test
  void developers_tableOfProperties_isWhatACarryWrites() throws IOException {
    Set<String> listed = new TreeSet<>();
    read("DEVELOPERS.md")
        .lines()
        .filter(line -> line.startsWith("| slr:"))
        .forEach(
            line ->
                PROPERTY
                    .matcher(line.split("\\|", -1)[1])
                    .results()
                    .forEach(r -> listed.add(r.group(1))));
    Path shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      String reference = group.path("reference").asText();
      Cli.run("grade", shoot.resolve(reference), "--ev", "1", "--kelvin", "5000", "--duv", "0.001");
    }
    Cli.run("carry", shoot);
    Set<String> written = new TreeSet<>();
    for (String file : Shoots.files(shoot)) {
      if (file.endsWith(".xmp")) {
        String text =
            Files.readString(shoot.resolve(file))
                .replaceAll("(?s)(<slr:LastCarried).*?</slr:LastCarried>", "$1 ");
        PROPERTY.matcher(text).results().forEach(r -> written.add(r.group(1)));
      }
    }

    assertThat(written).isEqualTo(listed);
  }
}
