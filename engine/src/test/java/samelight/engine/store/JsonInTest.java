package samelight.engine.store;

import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import samelight.engine.files.RefusedInputException;

class JsonInTest {
  private static void read(String json) throws IOException {
    try (JsonIn in =
        new JsonIn(
            new ByteArrayInputStream(json.getBytes(StandardCharsets.UTF_8)), "x.json", "next")) {
      in.document(name -> inside(in, name), "list");
    }
  }

  private static boolean inside(JsonIn in, String name) throws IOException {
    if (name.equals("list")) {
      in.array(() -> in.object(n -> inside(in, n)));
      return true;
    }
    return name.equals("n") && in.number() >= 0;
  }

  @Test
  void object_sameFieldInSiblingsAndNested_isRead() throws IOException {
    read("{\"n\": 1, \"list\": [{\"n\": 2}, {\"n\": 3, \"list\": [{\"n\": 4}]}, {\"n\": 5}]}");
  }

  /** RFC 8259, section 4: names within an object should be unique. */
  @Test
  void object_fieldTwice_isRefusedWithItsPlace() {
    assertThatThrownBy(() -> read("{\"list\": [{\"n\": 2}, {\"n\": 3, \"list\": [], \"n\": 4}]}"))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("list[1].n")
        .hasMessageContaining("once")
        .hasMessageContaining("\"n\" twice");
  }

  @Test
  void object_requiredFieldMissing_isRefused() {
    assertThatThrownBy(() -> read("{\"n\": 2}"))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("field list")
        .hasMessageContaining("must be there");
  }
}
