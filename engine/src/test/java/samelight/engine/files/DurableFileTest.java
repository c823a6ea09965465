package samelight.engine.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Large files: their bytes are made while they are written, and the old file stays whole. */
class DurableFileTest {
  private static final int PIECE = 1 << 20;

  @TempDir Path folder;
  private Path file;

  @BeforeEach
  void writeOldContent() throws IOException {
    file = Files.writeString(folder.resolve("kept.json"), "old");
  }

  private List<Path> strays() throws IOException {
    try (Stream<Path> all = Files.list(folder)) {
      return all.filter(p -> DurableFile.isStray(p.getFileName().toString())).toList();
    }
  }

  @Test
  void write_pieceByPiece_reachesTheDiskBeforeTheEndAndTheNameAfterIt() {
    byte[] piece = new byte[PIECE];
    ByteArrayOutputStream expected = new ByteArrayOutputStream();

    DurableFile.write(
        file,
        out -> {
          for (int i = 1; i <= 8; i++) {
            java.util.Arrays.fill(piece, (byte) i);
            out.write(piece);
            expected.write(piece);
            assertThat(strays()).singleElement().satisfies(DurableFileTest::isThere);
            assertThat(Files.size(strays().get(0))).isGreaterThan((i - 1L) * PIECE);
            assertThat(file).hasContent("old");
          }
        });

    assertThat(file).hasBinaryContent(expected.toByteArray());
    assertThat(folder).isDirectoryNotContaining("glob:**.tmp");
  }

  private static void isThere(Path stray) {
    assertThat(stray).isRegularFile();
  }

  @Test
  void write_contentFailsHalfWay_leavesTheOldFileAndNothingElse() throws IOException {
    assertThatThrownBy(
            () ->
                DurableFile.write(
                    file,
                    out -> {
                      out.write(new byte[PIECE]);
                      throw new IOException("No space left on device");
                    }))
        .isInstanceOf(CouldNotWriteException.class)
        .hasMessageContaining("kept.json")
        .hasMessageContaining("No space left")
        .hasMessageContaining("Free some space");

    assertThat(file).hasContent("old");
    assertThat(strays()).isEmpty();
  }

  @Test
  void write_contentHasABug_leavesTheOldFileAndNothingElse() throws IOException {
    IllegalStateException bug = new IllegalStateException("provoked by a test");

    assertThatThrownBy(
            () ->
                DurableFile.write(
                    file,
                    out -> {
                      out.write(new byte[PIECE]);
                      throw bug;
                    }))
        .isSameAs(bug);

    assertThat(file).hasContent("old");
    assertThat(strays()).isEmpty();
  }
}
