package samelight.engine.copies;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.TreeMap;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.NotEmpty;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;

class SumsTest {
  /** SHA-256 of "abc": FIPS 180-4, example of NIST's cryptographic standards page. */
  private static final String ABC =
      "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

  @TempDir Path folder;

  @Test
  void line_isThatOfSha256sum() {
    String hash = ContentHash.of("abc".getBytes(StandardCharsets.UTF_8));

    assertThat(hash).isEqualTo(ABC);
    assertThat(Sums.line("a/b.JPG", hash)).isEqualTo(ABC + "  a/b.JPG\n");
    // As sha256sum of GNU coreutils 9.1 prints it for a file named a, backslash, b, line feed, c.
    assertThat(Sums.line("a\\b\nc", hash)).isEqualTo("\\" + ABC + "  a\\\\b\\nc\n");
  }

  @Test
  void read_otherText_isRefusedWithItsLine() throws IOException {
    Path file = Files.writeString(folder.resolve("S"), ABC + "  a\nnot a line\n");

    assertThatThrownBy(() -> Sums.read(file))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("line 2")
        .hasMessageContaining("not a line");
  }

  @Property(tries = 300)
  void writtenLines_readBackTheSame(@ForAll @NotEmpty String name) throws IOException {
    String path = new String(name.getBytes(StandardCharsets.UTF_8), StandardCharsets.UTF_8);
    TreeMap<String, String> sums = new TreeMap<>();
    sums.put(path, ABC);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    Sums.write(out, sums);
    Path file = Files.createTempFile("sums", ".txt");
    try {
      Files.write(file, out.toByteArray());
      assertThat(Sums.read(file)).isEqualTo(sums);
    } finally {
      Files.delete(file);
    }
  }
}
