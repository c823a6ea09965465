package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.copies.CopyProgress;
import samelight.engine.copies.Secure;

class SecureCommandTest {
  @TempDir Path folder;
  private Path card;
  private Path to;

  @BeforeEach
  void makeCard() throws IOException {
    card = Shoots.mixed(folder.resolve("card"));
    to = Files.createDirectory(folder.resolve("to"));
  }

  private static Schema schema() throws IOException {
    try (InputStream in =
        Objects.requireNonNull(Secure.class.getResourceAsStream("copies.schema.json"))) {
      return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12).getSchema(in);
    }
  }

  private static Path only(Path folder) throws IOException {
    try (Stream<Path> list = Files.list(folder)) {
      return list.findFirst().orElseThrow();
    }
  }

  @Test
  void secure_thenAudit_thenDamage_tellsEachByItsStatus() throws IOException {
    Path second = Files.createDirectory(folder.resolve("second"));

    Cli.Result secured = Cli.run("secure", card, "--to", to, "--to", second, "--name", "garden");

    // on one drive, which is said
    secured.is(ExitStatus.ATTENTION);
    assertThat(secured.out()).contains("may be put away").contains("lie on one drive");
    Path shoot = only(to);
    assertThat(shoot.getFileName().toString()).endsWith("-garden");
    assertThat(
            schema()
                .validate(
                    Files.readString(shoot.resolve("samelight/copies.json")), InputFormat.JSON))
        .isEmpty();
    Cli.run("audit", to).is(ExitStatus.DONE);
    Cli.run("audit", shoot, second).is(ExitStatus.DONE);

    Path frame;
    try (Stream<Path> all = Files.walk(shoot)) {
      frame = all.filter(p -> p.toString().endsWith(".JPG")).findFirst().orElseThrow();
    }
    byte[] bytes = Files.readAllBytes(frame);
    bytes[bytes.length / 2] ^= 1;
    Files.write(frame, bytes);
    JsonNode audit = Cli.run("audit", to, "--json").is(ExitStatus.ATTENTION).json();
    assertThat(audit.at("/shoots/0/changed").size()).isEqualTo(1);
    assertThat(audit.at("/shoots/0/missing").size()).isZero();

    Files.delete(frame);
    Files.writeString(shoot.resolve("new.txt"), "extra");
    JsonNode again = Cli.run("audit", to, "--json").is(ExitStatus.ATTENTION).json();
    assertThat(again.at("/shoots/0/missing").size()).isEqualTo(1);
    assertThat(again.at("/shoots/0/extra/0").asText()).isEqualTo("new.txt");
  }

  @Test
  void secured_shoot_canBeGrouped() throws IOException {
    Cli.run("secure", card, "--to", to);

    JsonNode grouped = Cli.run("group", only(to), "--json").json();

    assertThat(grouped.path("sections").size()).isPositive();
  }

  @Test
  void audit_ofAnythingElse_isRefused() {
    Cli.Result result = Cli.run("audit", to);

    result.is(ExitStatus.REFUSED);
    assertThat(result.err()).contains("SHA256SUMS");
  }

  @Test
  void audit_ofADamagedManifest_isRefusedWithItsLine() throws IOException {
    Cli.run("secure", card, "--to", to);
    Files.writeString(only(to).resolve("samelight/copies.json"), "{\n  \"version\": 99\n}");

    Cli.Result result = Cli.run("audit", to).is(ExitStatus.REFUSED);

    assertThat(result.err()).contains("line 2").contains("99");
  }

  @Test
  void secure_ontoItself_isRefused() {
    Cli.run("secure", card, "--to", card).is(ExitStatus.REFUSED);
    Cli.run("secure", card).is(ExitStatus.USAGE);
    Cli.run("secure", folder.resolve("none"), "--to", to).is(ExitStatus.REFUSED);
    assertThat(to).isEmptyDirectory();
  }

  @Test
  void progress_saysBytesRateAndTimeLeft() {
    assertThat(BytesLine.text(CopyProgress.Step.COPYING, 1_000_000_000L, 4_000_000_000L, 5))
        .isEqualTo("copying 1.0 GB of 4.0 GB, 200 MB/s, 0:15 left");
    assertThat(BytesLine.text(CopyProgress.Step.READING_BACK, 40_000_000L, 100_000_000_000L, 4))
        .isEqualTo("reading back 40.0 MB of 100.0 GB, 10 MB/s, 2:46:36 left");
    assertThat(BytesLine.text(CopyProgress.Step.COPYING, 12_000_000L, 600_000_000L, 4))
        .isEqualTo("copying 12.0 MB of 600.0 MB, 3.0 MB/s, 3:16 left");
    assertThat(BytesLine.text(120_000_000L, 1_200_000_000L, 4))
        .isEqualTo("120.0 MB of 1.2 GB, 30 MB/s, 0:36 left");
  }

  @Test
  void progress_inTheFirstSeconds_guessesNoTimeLeft() {
    assertThat(BytesLine.text(CopyProgress.Step.COPYING, 22_631L, 318_800_000L, 0.4))
        .isEqualTo("copying 22,631 bytes of 318.8 MB, 0.1 MB/s");
  }

  /** Every other picture is missing: the card's state must not be lost in a list of holes. */
  @Test
  void secure_ofACardWithManyHoles_showsTheFirstAndCountsTheRest() throws IOException {
    Path holed = Files.createDirectories(folder.resolve("holed/DCIM/100HOLED"));
    byte[] picture;
    try (Stream<Path> all = Files.walk(card)) {
      picture =
          Files.readAllBytes(
              all.filter(p -> p.toString().endsWith(".JPG")).findFirst().orElseThrow());
    }
    for (int i = 0; i < 21; i++) {
      Files.write(holed.resolve(String.format("HOL_%04d.JPG", 101 + 2 * i)), picture);
    }

    Cli.Result result = Cli.run("secure", folder.resolve("holed"), "--to", to);

    assertThat(result.out().lines().filter(l -> l.contains("missing between"))).hasSize(12);
    assertThat(result.out()).contains("and 8 more holes in the numbers");
    assertThat(Cli.run("secure", folder.resolve("holed"), "--to", to, "--json").json().at("/holes"))
        .hasSize(20);
  }

  @Test
  void json_namesTheCardsAndPlaces() {
    JsonNode json = Cli.run("secure", card, "--to", to, "--json").json();

    assertThat(json.at("/cards/0/mayBePutAway").asBoolean()).isTrue();
    assertThat(json.at("/places/0/refused").size()).isZero();
    assertThat(List.of(json.at("/cards/0/label").asText())).isNotEmpty();
  }
}
