package samelight.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import picocli.CommandLine;
import picocli.CommandLine.Help;

/**
 * Writes down what {@code --help} says, once when the program is built, so that the launcher can
 * show it without starting Java: {@code help.txt} and {@code help/COMMAND.txt}, each also as {@code
 * .ansi} for a terminal that shows bold and colours.
 */
final class HelpTexts {
  private HelpTexts() {}

  /**
   * Writes all of them.
   *
   * @param args the folder to write to
   * @throws IOException if one can't be written
   */
  public static void main(String[] args) throws IOException {
    Path folder = Path.of(args[0]);
    Files.createDirectories(folder.resolve("help"));
    for (Help.Ansi ansi : new Help.Ansi[] {Help.Ansi.OFF, Help.Ansi.ON}) {
      String end = ansi.enabled() ? ".ansi" : ".txt";
      Files.writeString(folder.resolve("help" + end), text(ansi, "--help"));
      for (String command : Main.commandLine().getSubcommands().keySet()) {
        Files.writeString(folder.resolve("help/" + command + end), text(ansi, command, "--help"));
      }
    }
  }

  private static String text(Help.Ansi ansi, String... args) {
    StringWriter text = new StringWriter();
    CommandLine line = Main.commandLine(args);
    line.setColorScheme(Help.defaultColorScheme(ansi));
    line.setOut(new PrintWriter(text));
    line.execute(args);
    return text.toString();
  }
}
