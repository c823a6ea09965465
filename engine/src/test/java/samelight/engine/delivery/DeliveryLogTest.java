package samelight.engine.delivery;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;

class DeliveryLogTest {
  private static final String HASH = "ab".repeat(32);

  @TempDir Path folder;

  private static Delivery delivery(String to, Delivery.Kind kind, String... names) {
    List<DeliveredFile> files =
        List.of(names).stream()
            .map(
                n -> new DeliveredFile("A/" + n + ".DNG", n + ".jpg", "01 Day/" + n + ".jpg", HASH))
            .toList();
    return new Delivery(Instant.parse("2027-06-20T08:00:00Z"), "/exports", to, kind, files);
  }

  @Test
  void read_noFile_isNothing() {
    assertThat(DeliveryLog.read(ShootPaths.of(folder))).isEmpty();
  }

  @Test
  void read_whatWasAdded_isTheSame() {
    ShootPaths shoot = ShootPaths.of(folder);
    Delivery early = delivery("/early", Delivery.Kind.EARLY, "IMG_0001");
    Delivery whole = delivery("/gallery", Delivery.Kind.WHOLE, "IMG_0001", "ÜÑ\"_2");

    DeliveryLog.add(shoot, early);
    DeliveryLog.add(shoot, whole);

    assertThat(DeliveryLog.read(shoot)).containsExactly(early, whole);
  }

  @Test
  void add_sameFilesAgain_addsNothing() {
    ShootPaths shoot = ShootPaths.of(folder);
    DeliveryLog.add(shoot, delivery("/gallery", Delivery.Kind.WHOLE, "IMG_0001"));
    DeliveryLog.add(shoot, delivery("/other", Delivery.Kind.WHOLE, "IMG_0001"));
    DeliveryLog.add(shoot, delivery("/gallery", Delivery.Kind.WHOLE, "IMG_0001"));
    assertThat(DeliveryLog.read(shoot)).hasSize(2);

    DeliveryLog.add(shoot, delivery("/gallery", Delivery.Kind.WHOLE, "IMG_0001", "IMG_0002"));
    assertThat(DeliveryLog.read(shoot)).hasSize(3);
  }

  @Test
  void read_damaged_namesLineAndField() throws IOException {
    Path file = folder.resolve(DeliveryLog.NAME);
    Files.createDirectories(file.getParent());
    DeliveryLog.add(ShootPaths.of(folder), delivery("/gallery", Delivery.Kind.WHOLE, "IMG_0001"));
    String good = Files.readString(file);

    for (String[] change :
        new String[][] {
          {HASH, "abc", "files[0]"},
          {"whole", "half", "kind"},
          {"A/IMG_0001.DNG", "../IMG_0001.DNG", "frame"},
          {"\"at\"", "\"when\"", "when"},
          {"2027-06-20T08:00:00Z", "yesterday", "at"},
          {"\"version\": 1", "\"version\": 2", "version"}
        }) {
      Files.writeString(file, good.replace(change[0], change[1]));
      assertThatThrownBy(() -> DeliveryLog.read(ShootPaths.of(folder)))
          .as(change[1])
          .isInstanceOf(RefusedInputException.class)
          .hasMessageContaining("line ")
          .hasMessageContaining(change[2]);
    }
    Files.writeString(file, good.substring(0, good.length() / 2));
    assertThatThrownBy(() -> DeliveryLog.read(ShootPaths.of(folder)))
        .isInstanceOf(RefusedInputException.class);
  }
}
