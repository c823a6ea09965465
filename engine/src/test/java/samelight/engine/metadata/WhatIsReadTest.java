package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Predicate;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.Frame;
import samelight.engine.frame.WhiteBalance;

/** The table of makers and fields in DEVELOPERS.md is what the samples give. */
class WhatIsReadTest {
  private static final Map<String, Predicate<Frame>> FIELDS = new LinkedHashMap<>();

  static {
    FIELDS.put("time", f -> f.time() != null);
    FIELDS.put("1/100 s", f -> f.time() != null && f.time().subSecond());
    FIELDS.put("settings", f -> f.settings().complete());
    FIELDS.put("bias", f -> f.settings().bias() != null);
    FIELDS.put("flash", f -> f.flash() != null);
    FIELDS.put("WB", f -> f.whiteBalance().setting() != WhiteBalance.Setting.UNKNOWN);
    FIELDS.put("serial", f -> f.body().serial() != null);
    FIELDS.put("lens", f -> f.optics().lens() != null);
    FIELDS.put("burst", f -> f.marks().sequence() != null);
    FIELDS.put("focus", f -> f.marks().focusX() != null);
    FIELDS.put("pixels", f -> f.picture().small() != null);
  }

  @Test
  void developersDocument_hasTheTable() throws IOException {
    Path document = Path.of("..", "DEVELOPERS.md");
    assertThat(document).exists();
    assertThat(Files.readString(document)).contains(table());
  }

  static String table() {
    TreeMap<String, Frame> rows = new TreeMap<>();
    FrameReader reader = new FrameReader();
    for (Path p : Samples.all()) {
      Frame f = reader.read(Samples.folder(), p).frame();
      if (f != null) {
        String make = f.body().make().split(" ", -1)[0];
        String name = make.charAt(0) + make.substring(1).toLowerCase(Locale.ROOT);
        rows.put(
            name
                + " "
                + ShootFiles.extension(f.file()).toUpperCase(Locale.ROOT)
                + " ("
                + f.body().model()
                + ")",
            f);
      }
    }
    StringBuilder b = new StringBuilder("| sample |");
    FIELDS.keySet().forEach(n -> b.append(' ').append(n).append(" |"));
    b.append(" white point |\n|---|").append("---|".repeat(FIELDS.size() + 1)).append('\n');
    rows.forEach(
        (name, f) -> {
          b.append("| ").append(name).append(" |");
          FIELDS.values().forEach(p -> b.append(p.test(f) ? " x |" : "  |"));
          String source = f.provenance().getOrDefault("whitePoint", "unknown");
          b.append(' ').append(source).append(" |\n");
        });
    return b.toString();
  }

  /** Prints the table, to be put into the document. */
  public static void main(String[] args) {
    System.out.print(table());
  }
}
