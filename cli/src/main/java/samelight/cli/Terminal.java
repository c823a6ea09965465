package samelight.cli;

import java.io.BufferedReader;
import java.io.Console;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Where the commands print.
 *
 * @param out results
 * @param err everything else
 * @param progress whether somebody watches standard error
 * @param asks whether somebody can answer a question
 */
record Terminal(PrintWriter out, PrintWriter err, boolean progress, boolean asks) {
  /** The process's own streams. */
  static Terminal ofProcess() {
    boolean windows =
        System.getProperty("os.name", "").toLowerCase(Locale.ROOT).startsWith("windows");
    Console console = console();
    // A Windows console has a code page of its own, whatever the default charset is.
    Charset charset = windows && console != null ? console.charset() : StandardCharsets.UTF_8;
    return new Terminal(
        writer(FileDescriptor.out, charset),
        writer(FileDescriptor.err, charset),
        watched("samelight.stderr", console != null),
        watched("samelight.stdin", console != null));
  }

  private static PrintWriter writer(FileDescriptor stream, Charset charset) {
    return new PrintWriter(new OutputStreamWriter(new FileOutputStream(stream), charset), false);
  }

  /** The launcher tells whether a stream is a terminal, where it can. */
  private static boolean watched(String property, boolean otherwise) {
    String told = System.getProperty(property);
    return told == null ? otherwise : Boolean.parseBoolean(told);
  }

  @SuppressWarnings("SystemConsoleNull") // later JDKs are asked whether it is a terminal
  private static @Nullable Console console() {
    Console console = System.console();
    if (console == null) {
      return null;
    }
    try {
      return (Boolean) Console.class.getMethod("isTerminal").invoke(console) ? console : null;
    } catch (ReflectiveOperationException beforeJdk22) {
      return console;
    }
  }

  /** Asks a question; the answer is empty where nobody can give one. */
  String ask(String question) {
    if (!asks) {
      return "";
    }
    out.flush();
    err.print(question);
    err.flush();
    try {
      String answer =
          new BufferedReader(new InputStreamReader(System.in, Charset.defaultCharset())).readLine();
      return answer == null ? "" : answer.strip().toLowerCase(Locale.ROOT);
    } catch (IOException e) {
      return "";
    }
  }

  /** Shows all that waits. */
  void flush() {
    out.flush();
    err.flush();
  }
}
