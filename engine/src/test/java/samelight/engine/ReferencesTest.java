package samelight.engine;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every source cited by key in a comment stands in the References of DEVELOPERS.md. */
class ReferencesTest {
  private static final Pattern COMMENT = Pattern.compile("^\\s*(?:/?\\*|//).*$", Pattern.MULTILINE);
  private static final Pattern CITED = Pattern.compile("\\[([A-Z][A-Z0-9.-]{2,})]");
  private static final Pattern LISTED = Pattern.compile("`\\[([A-Z][A-Z0-9.-]{2,})]`");

  @Test
  void citedKeys_areListedInDevelopersFile() throws IOException {
    Set<String> listed = new TreeSet<>();
    String developers = Files.readString(Path.of("..", "DEVELOPERS.md"), UTF_8);
    Matcher keys = LISTED.matcher(developers.substring(developers.indexOf("\n## References")));
    while (keys.find()) {
      listed.add(keys.group(1));
    }
    Map<String, String> cited = new TreeMap<>();
    for (String module : new String[] {"engine", "samples", "cli"}) {
      cited.putAll(cited(Path.of("..", module, "src")));
    }
    assertThat(cited).as("citations found at all").containsKeys("DNG", "EXIF22", "ROBERTSON68");
    cited.keySet().removeAll(listed);
    assertThat(cited).as("keys that the References lack").isEmpty();
  }

  @Test
  void cited_keysInCommentsOnly_areFound(@TempDir Path folder) throws IOException {
    Files.writeString(
        folder.resolve("A.java"),
        """
        /** As in (NOBODY99), eq. 3, and [OHNO14]. */
        class A {
          // also (X-1.2)
          String s = "[TEXT]";
          int[] a = b[MAX];
        }
        """
            .replace('(', '[')
            .replace(')', ']'));

    assertThat(cited(folder)).containsOnlyKeys("NOBODY99", "OHNO14", "X-1.2");
  }

  private static Map<String, String> cited(Path sources) throws IOException {
    Map<String, String> cited = new TreeMap<>();
    try (Stream<Path> files = Files.walk(sources)) {
      files
          .filter(f -> f.toString().endsWith(".java"))
          .forEach(
              file -> {
                Matcher comments = COMMENT.matcher(read(file));
                while (comments.find()) {
                  Matcher keys = CITED.matcher(comments.group());
                  while (keys.find()) {
                    cited.putIfAbsent(keys.group(1), file.toString());
                  }
                }
              });
    }
    return cited;
  }

  private static String read(Path file) {
    try {
      return Files.readString(file, UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
