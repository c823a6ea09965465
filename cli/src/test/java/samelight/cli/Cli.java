package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;

/** Runs commands in this process, as the launcher would. */
final class Cli {
  private static final ObjectMapper JSON = new ObjectMapper();

  private Cli() {}

  /** What a command did. */
  record Result(int status, String out, String err) {
    Result is(ExitStatus expected) {
      assertThat(status).as("%s%n%s", out, err).isEqualTo(expected.code());
      return this;
    }

    JsonNode json() {
      return Cli.json(out);
    }
  }

  static Result run(Object... args) {
    return run(false, args);
  }

  private static Result run(boolean asks, Object[] args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    String[] words = new String[args.length];
    for (int i = 0; i < args.length; i++) {
      words[i] = args[i].toString();
    }
    int status =
        Main.run(words, new Terminal(new PrintWriter(out), new PrintWriter(err), false, asks));
    return new Result(status, out.toString(), err.toString());
  }

  static JsonNode json(String out) {
    try {
      return JSON.readTree(out);
    } catch (IOException e) {
      throw new AssertionError("not JSON: " + out, e);
    }
  }

  /** Runs a command with a person at the terminal, who types these lines. */
  static Result answering(String typed, Object... args) {
    InputStream before = System.in;
    System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
    try {
      return run(true, args);
    } finally {
      System.setIn(before);
    }
  }

  static JsonNode read(Path json) throws IOException {
    return JSON.readTree(json.toFile());
  }
}
