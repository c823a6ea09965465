package samelight.engine.copies;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.RefusedInputException;
import samelight.engine.testing.SmallDrive;

@SuppressWarnings("try") // a mounted drive is there to be unmounted
class SecureTest {
  @TempDir Path root;

  private static Path shoot(Path destination) throws IOException {
    try (Stream<Path> list = Files.list(destination)) {
      return list.findFirst().orElseThrow();
    }
  }

  private Path card(int count) {
    return Cards.card(root.resolve("card/TERN_CARD"), Cards.ONE, 4312, count, 3000);
  }

  @Test
  void secure_twoDrives_bothHoldEveryByteAndTheCardIsUntouched() throws Exception {
    Path card = card(40);
    Cards.put(card, "MISC/notes.dat", new byte[0]);
    Cards.put(card, "DCIM/100TERNA/TERN4312.WAV", new byte[] {1, 2, 3});
    Map<String, String> before = Cards.snapshot(card);

    SecureResult result = Cards.secure(root, card, "a/copies", "b/copies");

    assertThat(Cards.snapshot(card)).isEqualTo(before);
    assertThat(result.attention()).isFalse();
    assertThat(result.cards().get(0).label())
        .contains("garden")
        .contains("TERN4312 to TERN4351, 40 frames")
        .contains("card TERN_CARD");
    for (String to : new String[] {"a/copies", "b/copies"}) {
      Path shoot = shoot(root.resolve(to));
      assertThat(shoot.getFileName().toString()).matches("\\d{4}-\\d\\d-\\d\\d-garden");
      Path body;
      try (Stream<Path> bodies = Files.list(shoot)) {
        body =
            bodies
                .filter(p -> p.getFileName().toString().startsWith("eos-1d-"))
                .findFirst()
                .orElseThrow();
      }
      for (int i = 0; i < 40; i++) {
        String name = String.format("TERN%04d.JPG", 4312 + i);
        Path source = card.resolve("DCIM/100TERNA/" + name);
        assertThat(Files.mismatch(source, body.resolve(name))).isEqualTo(-1);
        assertThat(Files.getLastModifiedTime(body.resolve(name)))
            .isEqualTo(Files.getLastModifiedTime(source));
      }
      assertThat(body.resolve("TERN4312.WAV")).hasBinaryContent(new byte[] {1, 2, 3});
      assertThat(shoot.resolve("other/MISC/notes.dat")).isEmptyFile();
      assertThat(shoot.resolve("samelight/copies.log")).doesNotExist();
      AuditResult audit = Cards.audit(root, shoot);
      assertThat(audit.differs() || audit.unreadable()).isFalse();
      assertThat(audit.shoots().get(0).right()).isEqualTo(42);
      assertThat(audit.copies().get(0)).contains("2 copies in sight, on 2 drives");
    }
  }

  @Test
  void manifest_isWhatSha256sumReads() throws Exception {
    Path card = card(3);
    Cards.put(card, "MISC/odd\\name.dat", "x".getBytes(StandardCharsets.UTF_8));
    Cards.put(card, "MISC/two\nlines.dat", "y".getBytes(StandardCharsets.UTF_8));
    Cards.put(card, "MISC/Übung 花.dat", "z".getBytes(StandardCharsets.UTF_8));
    Cards.secure(root, card, "a", "b");
    Process p;
    try {
      p =
          new ProcessBuilder("sha256sum", "-c", "SHA256SUMS")
              .directory(shoot(root.resolve("a")).toFile())
              .redirectErrorStream(true)
              .start();
    } catch (IOException e) {
      assumeTrue(false, "sha256sum (GNU coreutils) is not installed");
      return;
    }

    String said = new String(p.getInputStream().readAllBytes(), StandardCharsets.UTF_8);

    assertThat(p.waitFor()).as("%s", said).isZero();
    assertThat(said.lines().filter(l -> l.endsWith(": OK"))).hasSize(6);
  }

  @Test
  void again_copiesNothingAndSaysTheSame() throws Exception {
    Path card = card(10);
    SecureResult first = Cards.secure(root, card, "a", "b");
    Map<String, String> before = Cards.snapshot(shoot(root.resolve("a")));

    SecureResult again = Cards.secure(root, card, "a", "b");

    assertThat(again.cards().get(0).copied()).isZero();
    assertThat(again.cards().get(0).before()).isEqualTo(10);
    assertThat(again.cards().get(0).label()).isEqualTo(first.cards().get(0).label());
    Map<String, String> after = Cards.snapshot(shoot(root.resolve("a")));
    before.keySet().removeIf(k -> k.isEmpty() || k.startsWith("samelight") || k.equals(Sums.NAME));
    after.keySet().removeIf(k -> k.isEmpty() || k.startsWith("samelight") || k.equals(Sums.NAME));
    assertThat(after).isEqualTo(before);
  }

  @Test
  void sameName_otherBytes_bothAreKeptAndSaid() throws Exception {
    Cards.secure(root, card(5), "a", "b");
    Path second = root.resolve("card2/TWO");
    byte[] other = Cards.picture(Cards.ONE, 777, 3000);
    Cards.put(second, "DCIM/101TERNA/TERN4312.JPG", other);

    SecureResult result = Cards.secure(root, second, "a", "b");

    Path shoot = shoot(root.resolve("a"));
    assertThat(result.attention()).isTrue();
    assertThat(result.places().get(0).clashes()).hasSize(1);
    List<Path> kept;
    try (Stream<Path> all = Files.walk(shoot)) {
      kept = all.filter(p -> p.getFileName().toString().startsWith("TERN4312")).sorted().toList();
    }
    assertThat(kept).hasSize(2);
    assertThat(kept.stream().filter(p -> contentIs(p, other))).hasSize(1);
    assertThat(kept.stream().filter(p -> contentIs(p, Cards.picture(Cards.ONE, 4312, 3000))))
        .hasSize(1);
    assertThat(Cards.audit(root, shoot).differs()).isFalse();
  }

  private static boolean contentIs(Path file, byte[] bytes) {
    try {
      return java.util.Arrays.equals(Files.readAllBytes(file), bytes);
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  @Test
  void sameBytes_ofAnotherCard_areNotCopiedTwice() throws Exception {
    Cards.secure(root, card(5), "a", "b");
    Path mirror = Cards.card(root.resolve("card2/MIRROR"), Cards.ONE, 4312, 5, 3000);

    SecureResult result = Cards.secure(root, mirror, "a", "b");

    assertThat(result.cards().get(0).copied()).isZero();
    assertThat(result.cards().get(0).before()).isEqualTo(5);
    assertThat(result.cards().get(0).mayBePutAway()).isTrue();
    assertThat(Cards.audit(root, root.resolve("a")).shoots().get(0).files()).isEqualTo(5);
  }

  @Test
  void twin_splitRawAndJpeg_isUnderstoodAndBothAreCopied() throws Exception {
    Path raws = root.resolve("card/RAWS");
    Path jpegs = root.resolve("card2/JPEGS");
    for (int i = 1; i <= 4; i++) {
      Cards.put(raws, "DCIM/100TERNA/TERN000" + i + ".NEF", Cards.picture("Nikon_D1.nef", i, 10));
      Cards.put(jpegs, "DCIM/100TERNA/TERN000" + i + ".JPG", Cards.picture(Cards.OTHER, i, 10));
    }
    SecureRequest r = Cards.request(root, List.of(raws), "a", "b");

    SecureResult result =
        Secure.run(
            new SecureRequest(r.cards(), jpegs, r.destinations(), r.name(), r.drives()),
            CopyProgress.NONE);

    assertThat(result.twin()).isEmpty();
    assertThat(result.cards()).allMatch(SecureResult.CardResult::mayBePutAway);
    assertThat(Cards.audit(root, root.resolve("a")).shoots().get(0).right()).isEqualTo(8);
  }

  @Test
  void twin_missingAndDifferingFrames_areNamedAndKept() throws Exception {
    Path card = card(5);
    Path twin = Cards.card(root.resolve("card2/TWIN"), Cards.ONE, 4313, 5, 3000);
    Cards.put(twin, "DCIM/100TERNA/TERN4314.JPG", Cards.picture(Cards.ONE, 1, 3000));
    SecureRequest r = Cards.request(root, List.of(card), "a", "b");

    SecureResult result =
        Secure.run(
            new SecureRequest(r.cards(), twin, r.destinations(), r.name(), r.drives()),
            CopyProgress.NONE);

    assertThat(result.twin()).hasSize(3);
    assertThat(result.twin()).anyMatch(s -> s.contains("TERN4312") && s.contains("first card"));
    assertThat(result.twin()).anyMatch(s -> s.contains("TERN4317") && s.contains("twin"));
    assertThat(result.twin()).anyMatch(s -> s.contains("TERN4314") && s.contains("different"));
    assertThat(Cards.audit(root, root.resolve("b")).shoots().get(0).right()).isEqualTo(7);
  }

  @Test
  void oneDriveTwice_isDoneAndSaid() throws Exception {
    SecureResult result = Cards.secure(root, card(2), "a/one", "a/two");

    assertThat(result.attention()).isTrue();
    assertThat(result.notes()).singleElement().asString().contains("one drive");
    assertThat(result.cards().get(0).mayBePutAway()).isTrue();
  }

  @Test
  void destination_inOrEqualToCard_isRefusedAndNothingIsWritten() throws Exception {
    Path card = card(2);
    Files.createDirectories(card.resolve("inside"));
    Map<String, String> before = Cards.snapshot(root.resolve("card"));

    for (Path to : new Path[] {card, card.resolve("inside"), card.resolve("inside/../inside")}) {
      assertThatThrownBy(
              () ->
                  Secure.run(
                      SecureRequest.of(List.of(card), null, List.of(to), "garden"),
                      CopyProgress.NONE))
          .isInstanceOf(RefusedInputException.class)
          .hasMessageContaining("neither a card nor a folder on it");
    }
    assertThat(Cards.snapshot(root.resolve("card"))).isEqualTo(before);
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void destination_throughALinkIntoTheCard_isRefused() throws Exception {
    Path card = card(1);
    Path link = Files.createSymbolicLink(root.resolve("elsewhere"), card);

    assertThatThrownBy(
            () ->
                Secure.run(
                    SecureRequest.of(List.of(card), null, List.of(link), "garden"),
                    CopyProgress.NONE))
        .isInstanceOf(RefusedInputException.class);
  }

  @Test
  void destination_thatIsMissing_isRefusedSinceADriveMayBeOff() {
    assertThatThrownBy(
            () ->
                Secure.run(
                    SecureRequest.of(
                        List.of(card(1)), null, List.of(root.resolve("nothing")), "garden"),
                    CopyProgress.NONE))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("must be a folder that exists");
    assertThat(root.resolve("nothing")).doesNotExist();
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void linksOnACard_areNotFollowedAndSaid() throws Exception {
    Path card = card(2);
    Path secret = Files.writeString(root.resolve("secret.txt"), "not on the card");
    Files.createSymbolicLink(card.resolve("DCIM/100TERNA/TERN9000.JPG"), secret);
    Files.createSymbolicLink(card.resolve("loop"), card);

    SecureResult result = Cards.secure(root, card, "a", "b");

    assertThat(result.cards().get(0).odd()).hasSize(2);
    assertThat(result.attention()).isTrue();
    assertThat(Cards.audit(root, root.resolve("a")).shoots().get(0).files()).isEqualTo(2);
  }

  @Test
  void bitFlips_inCopiesBeforeTheyAreReadBack_areAllFound() throws Exception {
    Path card = card(30);
    List<Path> flipped = new ArrayList<>();
    CopyProgress flipping =
        (step, done, total) -> {
          if (step == CopyProgress.Step.READING_BACK) {
            synchronized (flipped) {
              if (flipped.isEmpty()) {
                flip(root.resolve("b"), flipped);
              }
            }
          }
        };

    SecureResult result = Secure.run(Cards.request(root, List.of(card), "a", "b"), flipping);

    // the first file may have been read back before it was flipped; the audit finds it then
    int found = result.places().get(1).refused().size();
    AuditResult audit = Cards.audit(root, root.resolve("b"));
    int later = audit.shoots().get(0).changed().size();
    assertThat(flipped).hasSize(30);
    assertThat(found + later).isEqualTo(30);
    assertThat(found).isGreaterThan(0);
    assertThat(result.notWritten()).isTrue();
    assertThat(result.cards().get(0).mayBePutAway()).isFalse();

    Cards.secure(root, card, "a", "b");
    SecureResult again = Cards.secure(root, card, "a", "b");
    assertThat(again.cards().get(0).mayBePutAway()).isTrue();
  }

  private static void flip(Path folder, List<Path> flipped) {
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path p : all.filter(f -> f.toString().endsWith(".JPG")).sorted().toList()) {
        byte[] bytes = Files.readAllBytes(p);
        int at = (p.toString().hashCode() & 0x7fffffff) % bytes.length;
        bytes[at] ^= (byte) (1 << (at % 8));
        Files.write(p, bytes);
        flipped.add(p);
      }
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  @Test
  void unreadableFile_isNamedAndTheRestIsCopied() throws Exception {
    Path card = card(5);
    Path bad = card.resolve("DCIM/100TERNA/TERN4314.JPG");
    CopyProgress truncating =
        (step, done, total) -> {
          try {
            // The card gives fewer bytes than it said, as a dying one does.
            Files.write(bad, new byte[] {1});
          } catch (IOException e) {
            throw new IllegalStateException(e);
          }
        };

    SecureResult result = Secure.run(Cards.request(root, List.of(card), "a", "b"), truncating);

    assertThat(result.unreadable()).isTrue();
    assertThat(result.cards().get(0).unreadable())
        .singleElement()
        .asString()
        .contains("TERN4314")
        .contains("gave 1");
    assertThat(result.cards().get(0).mayBePutAway()).isFalse();
    assertThat(Cards.audit(root, root.resolve("a")).shoots().get(0).right()).isEqualTo(4);
    assertThat(strays(root)).isEmpty();
  }

  private static List<Path> strays(Path folder) throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      return all.filter(p -> samelight.engine.files.DurableFile.isStray(p.getFileName().toString()))
          .toList();
    }
  }

  @Test
  void vanishingCard_stopsWithoutLossAndGoesOnLater() throws Exception {
    Path card = card(60);
    Path away = root.resolve("card/AWAY");
    CopyProgress pulling =
        (step, done, total) -> {
          try {
            if (done > total / 4 && Files.exists(card)) {
              Files.move(card, away);
            }
          } catch (IOException e) {
            throw new IllegalStateException(e);
          }
        };
    SecureResult result = Secure.run(Cards.request(root, List.of(card), "a", "b"), pulling);

    assertThat(result.unreadable()).isTrue();
    assertThat(result.cards().get(0).mayBePutAway()).isFalse();
    int safe = Cards.audit(root, root.resolve("a")).shoots().get(0).right();
    assertThat(safe).isBetween(10, 59);

    Files.move(away, card);
    SecureResult again = Cards.secure(root, card, "a", "b");
    assertThat(again.cards().get(0).copied()).isEqualTo(60 - safe);
    assertThat(again.cards().get(0).mayBePutAway()).isTrue();
  }

  @Test
  void twoBodiesOfOneNumber_getFoldersOfTheirOwn() throws Exception {
    Path one = card(3);
    Path two = Cards.card(root.resolve("card2/TWO"), Cards.OTHER, 4312, 3, 3000);

    SecureResult result =
        Secure.run(Cards.request(root, List.of(one, two), "a", "b"), CopyProgress.NONE);

    assertThat(result.places().get(0).clashes()).isEmpty();
    assertThat(Cards.audit(root, root.resolve("a")).shoots().get(0).right()).isEqualTo(6);
  }

  @Test
  void hole_inNumbers_isReported() throws Exception {
    Path card = card(6);
    Files.delete(card.resolve("DCIM/100TERNA/TERN4315.JPG"));

    SecureResult result = Cards.secure(root, card, "a", "b");

    assertThat(result.holes())
        .singleElement()
        .asString()
        .endsWith("4315 missing between 4314 and 4316: deleted in camera, or on another card?");
  }

  @Test
  void ownFileOfThatName_isNotWrittenOver() throws Exception {
    Path card = card(1);
    Cards.secure(root, card, "a");
    Path shoot = shoot(root.resolve("a"));
    Path copy;
    try (Stream<Path> all = Files.walk(shoot)) {
      copy = all.filter(p -> p.toString().endsWith("TERN4312.JPG")).findFirst().orElseThrow();
    }
    Files.delete(shoot.resolve("samelight/copies.json"));
    Files.writeString(copy, "somebody's own");

    Cards.secure(root, card, "a");

    assertThat(copy).hasContent("somebody's own");
    assertThat(copy.resolveSibling("TERN4312-2.JPG")).exists();
  }

  @Test
  @EnabledOnOs(OS.LINUX)
  void drive_thatFillsUpAmidTheCopying_isToldTheOtherIsDoneAndTheNextRunGoesOn() throws Exception {
    Path small = Files.createDirectories(root.resolve("b"));
    try (SmallDrive ignored = SmallDrive.mount(small, "100m")) {
      Path card = Cards.card(root.resolve("card/BIG"), Cards.ONE, 1, 30, 1_000_000);
      Files.delete(card.resolve("DCIM/100TERNA/TERN0029.JPG"));
      Path ballast = small.resolve("ballast");
      CopyProgress filling =
          (step, done, total) -> {
            try {
              if (step == CopyProgress.Step.COPYING && !Files.exists(ballast)) {
                long free = Files.getFileStore(small).getUsableSpace();
                Files.write(ballast, new byte[(int) free - 10_000_000]);
              }
            } catch (IOException e) {
              throw new IllegalStateException(e);
            }
          };

      SecureResult result = Secure.run(Cards.request(root, List.of(card), "b", "a"), filling);

      assertThat(result.notWritten()).isTrue();
      assertThat(result.places().get(1).broken()).isNull();
      assertThat(result.places().get(0).broken()).contains("No space left");
      assertThat(result.cards().get(0).mayBePutAway()).isFalse();
      assertThat(Cards.audit(root, root.resolve("a")).shoots().get(0).right()).isEqualTo(29);
      assertThat(result.holes())
          .as("holes, of which only the other drive knows")
          .singleElement()
          .asString()
          .contains("0029 missing");
      Files.delete(ballast);
      SecureResult again = Cards.secure(root, card, "a", "b");
      assertThat(again.cards().get(0).mayBePutAway()).isTrue();
      assertThat(Cards.audit(root, small).shoots().get(0).right()).isEqualTo(29);
      assertThat(strays(root)).isEmpty();
    }
  }

  @Test
  @EnabledOnOs(OS.LINUX)
  void drive_withTooLittleSpace_isRefusedBeforeAnythingIsCopied() throws Exception {
    Path small = Files.createDirectories(root.resolve("b"));
    try (SmallDrive ignored = SmallDrive.mount(small, "66m")) {
      Path card = Cards.card(root.resolve("card/BIG"), Cards.ONE, 1, 5, 1_000_000);

      assertThatThrownBy(() -> Cards.secure(root, card, "a", "b"))
          .isInstanceOf(CouldNotWriteException.class)
          .hasMessageContaining("must have room for 5.1 MB of copies");
      try (Stream<Path> all = Files.walk(root.resolve("a"))) {
        assertThat(all.filter(p -> p.toString().endsWith(".JPG"))).isEmpty();
      }
    }
  }

  @Test
  @EnabledOnOs(OS.LINUX)
  void drives_alikeWithRoomForOneCopyEach_areNotTakenForOne() throws Exception {
    Path a = Files.createDirectories(root.resolve("a"));
    Path b = Files.createDirectories(root.resolve("b"));
    try (SmallDrive ignored = SmallDrive.mount(a, "72m");
        SmallDrive alike = SmallDrive.mount(b, "72m")) {
      Path card = Cards.card(root.resolve("card/BIG"), Cards.ONE, 1, 5, 1_000_000);

      assertThat(Cards.secure(root, card, "a", "b").cards().get(0).mayBePutAway()).isTrue();
    }
  }

  @Test
  void manifest_withAPathOutOfTheShoot_isRefusedAndNothingThereIsTouched() throws Exception {
    Path card = card(2);
    Cards.secure(root, card, "a");
    Path shoot = shoot(root.resolve("a"));
    Path outside = Files.write(root.resolve("a/outside.jpg"), new byte[] {1});
    Path json = shoot.resolve("samelight/copies.json");
    Files.writeString(
        json,
        Files.readString(json).replaceFirst("\"path\" ?: ?\"[^\"]*", "\"path\":\"../outside.jpg"));

    assertThatThrownBy(() -> Cards.secure(root, card, "a"))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("a path must lie in the copied shoot")
        .hasMessageContaining("../outside.jpg");
    assertThatThrownBy(() -> Cards.audit(root, shoot)).isInstanceOf(RefusedInputException.class);
    assertThat(outside).hasBinaryContent(new byte[] {1});
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void audit_folderThatCantBeRead_isUnreadableAndNotMissing() throws Exception {
    Cards.secure(root, card(3), "a");
    Path shoot = shoot(root.resolve("a"));
    Path body;
    try (Stream<Path> list = Files.list(shoot)) {
      body = list.filter(p -> p.toString().contains("eos")).findFirst().orElseThrow();
    }
    Set<PosixFilePermission> before = Files.getPosixFilePermissions(body);
    Files.setPosixFilePermissions(body, Set.of());
    try {
      assumeTrue(!Files.isReadable(body), "an administrator may read anywhere");
      AuditResult audit = Cards.audit(root, shoot);
      assertThat(audit.unreadable()).isTrue();
      assertThat(audit.shoots().get(0).missing()).isEmpty();
    } finally {
      Files.setPosixFilePermissions(body, before);
    }
  }

  @Test
  void numbered_keepsTheExtension() {
    assertThat(Target.numbered("x/A.B.JPG", 2)).isEqualTo("x/A.B-2.JPG");
    assertThat(Target.numbered("x/.hidden", 2)).isEqualTo("x/.hidden-2");
    assertThat(Target.numbered("x.y/name", 3)).isEqualTo("x.y/name-3");
  }
}
