package samelight.cli;

import java.io.IOException;
import java.net.URISyntaxException;
import java.net.URL;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.CodeSource;
import samelight.engine.metadata.FileStamp;
import samelight.engine.report.HtmlReport;

/** Words that change when what something was made of does. */
final class Stamps {
  private Stamps() {}

  /**
   * By size, time and head, whatever the file's length. Not against malice: whoever can write the
   * file can write what is kept of it too.
   *
   * @throws IOException if the file can't be read
   */
  static String of(Path file) throws IOException {
    FileStamp stamp = FileStamp.of(file);
    return stamp.size() + "-" + stamp.modifiedMillis() + "-" + stamp.headHash();
  }

  /** Another one for each build. */
  static String ofProgram() throws IOException {
    return build(Stamps.class) + " " + build(HtmlReport.class);
  }

  private static String build(Class<?> of) throws IOException {
    CodeSource source = of.getProtectionDomain().getCodeSource();
    URL from = source == null ? null : source.getLocation();
    if (from == null) {
      return "0";
    }
    try {
      Path jar = Path.of(from.toURI());
      return Files.size(jar) + "-" + Files.getLastModifiedTime(jar).toMillis();
    } catch (URISyntaxException e) {
      throw new IOException(e);
    }
  }
}
