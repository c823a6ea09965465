package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootLock;
import samelight.engine.files.ShootPaths;

/** Names, conventions, links, locks and forged or old journals. */
class OddNamesTest {
  @TempDir Path shoot;

  private Fixture graded(String... files) {
    Fixture f = Fixture.of(shoot, files);
    f.write(
        files[0].substring(0, files[0].lastIndexOf('.')) + ".xmp",
        Fixture.sidecar("+0.35", "5000"));
    return f;
  }

  @Test
  void carry_oddNames_areWrittenAndReverted() {
    String[] names = {
      "our day/F 1.DNG",
      "our day/\ud83d\udc8d ring.DNG",
      "our day/Hochzeitsfru\u0308hstu\u0308ck.DNG",
      "\u7d50\u5a5a\u5f0f/\u5199\u771f.DNG",
      "our day/%41 &amp; <b>'\"#?.DNG",
      "our day/" + "n".repeat(251) + ".DNG",
      "our day/.hidden.DNG",
      "our day/two.dots.DNG",
    };
    Fixture f = graded(names);
    Map<String, String> before = f.snapshot();
    CarryResult r = f.carry();
    assertThat(r.counts()).isEqualTo(Map.of(Outcome.WRITTEN, names.length));
    assertThat(f.slr("our day/two.dots.xmp", "Exposure")).isNotNull();
    assertThat(f.slr("our day/F 1.xmp", "Reference")).isEqualTo("our day/F 1.DNG");
    assertThat(f.revert().attention()).isFalse();
    assertThat(f.snapshot()).isEqualTo(before);
  }

  @Test
  void carry_nameTooLongForItsSidecar_isSaidAndTheOthersAreWritten() {
    String longest = "n".repeat(251) + ".DNG";
    Fixture f = Fixture.of(shoot, "F_1.DNG", longest, "F_2.DNG");
    f.write("F_1.DNG.xmp", Fixture.sidecar("+0.35", "5000"));
    CarryResult r = f.carry();
    assertThat(r.outcomes())
        .extracting(FrameOutcome::outcome)
        .containsExactly(Outcome.WRITTEN, Outcome.COULD_NOT_WRITE, Outcome.WRITTEN);
    assertThat(r.outcomes().get(1).detail()).contains("too long");
  }

  @Test
  void pathFor_followsWhatTheShootUses() {
    Fixture f = Fixture.of(shoot, "a/F_1.DNG", "a/F_2.DNG", "b/G_1.DNG", "b/G_2.DNG", "c/H.DNG");
    f.write("a/F_1.DNG.xmp", "x").write("a/F_0.DNG.xmp", "x").write("b/G_1.XMP", "x");
    f.write("a/F_1_2.xmp", "x").write("a/F_1.xmp.bak", "x").write("a/F_12.xmp", "x");
    Sidecars s = Sidecars.of(shoot, f.frames);
    assertThat(f.frames.stream().map(s::pathFor))
        .containsExactly("a/F_1.DNG.xmp", "a/F_2.DNG.xmp", "b/G_1.XMP", "b/G_2.XMP", "c/H.xmp");
    assertThat(s.existing(f.frames.get(0))).contains("a/F_1.DNG.xmp");
    assertThat(s.existing(f.frames.get(1))).isEmpty();
    assertThat(s.extra()).containsExactly("a/F_1_2.xmp");
    assertThat(s.leftOver()).containsExactly("a/F_0.DNG.xmp", "a/F_12.xmp");
    assertThat(s.mixesConventions()).isTrue();
  }

  @Test
  void pathFor_rawAndJpegOfOneStem_givesTheStemToTheRaw() {
    Fixture f = Fixture.of(shoot, "F_1.JPG", "F_1.CR2", "F_2.DNG", "F_2.NEF");
    Sidecars s = Sidecars.of(shoot, f.frames);
    assertThat(f.frames.stream().map(s::pathFor))
        .containsExactly("F_1.JPG.xmp", "F_1.xmp", "F_2.DNG.xmp", "F_2.NEF.xmp");
  }

  @Test
  void carry_secondRenderings_areNeverTouched() {
    Fixture f = graded("F_1.DNG", "F_2.DNG");
    f.write("F_2-2.xmp", Fixture.sidecar("1", "4000"));
    String own = f.read("F_2-2.xmp");
    f.carry();
    assertThat(f.read("F_2-2.xmp")).isEqualTo(own);
  }

  @Test
  void carry_namesThatDifferInCaseOnly_areLeftAlone() {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "f_2.DNG");
    CarryResult r = f.carry();
    assertThat(r.counts()).isEqualTo(Map.of(Outcome.WRITTEN, 1, Outcome.NAME_CLASH, 2));
    assertThat(r.attention()).isTrue();
  }

  @Test
  @DisabledOnOs(value = OS.WINDOWS, disabledReason = "links need a right there")
  void carry_linkedSidecar_isFollowedInsideTheShootOnly() throws IOException {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "F_3.DNG");
    Path outside = Files.createTempDirectory("samelight-outside");
    f.write(
        "kept/F_2.xmp", Fixture.sidecar("0", "5000").replaceAll("(?s) ed:Gain.*</ed:Shape>", ">"));
    Files.createSymbolicLink(shoot.resolve("F_2.xmp"), Path.of("kept/F_2.xmp"));
    Path stranger = Files.writeString(outside.resolve("F_3.xmp"), "theirs");
    Files.createSymbolicLink(shoot.resolve("F_3.xmp"), stranger);
    Map<String, String> before = f.snapshot();
    CarryResult r = f.carry();
    assertThat(r.outcomes())
        .extracting(FrameOutcome::outcome)
        .containsExactly(Outcome.WRITTEN, Outcome.WRITTEN, Outcome.OUTSIDE);
    assertThat(Files.isSymbolicLink(shoot.resolve("F_2.xmp"))).isTrue();
    assertThat(f.slr("kept/F_2.xmp", "Exposure")).isNotNull();
    assertThat(Files.readString(stranger)).isEqualTo("theirs");
    f.revert();
    assertThat(f.snapshot()).isEqualTo(before);
    Files.delete(stranger);
    Files.delete(outside);
  }

  @Test
  @DisabledOnOs(value = OS.WINDOWS, disabledReason = "no such permissions there")
  void carry_keepsPermissions() throws IOException {
    Fixture f = graded("F_1.DNG", "F_2.DNG");
    Path p = shoot.resolve("F_1.xmp");
    Files.setPosixFilePermissions(p, PosixFilePermissions.fromString("rw-rw-r--"));
    f.carry();
    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(p)))
        .isEqualTo("rw-rw-r--");
  }

  @Test
  void revert_sidecarTouchedSince_isLeftAloneUnlessTold() {
    Fixture f = graded("F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.carry();
    f.touch("F_2.xmp", Fixture.GAIN, "+2.00");
    String touched = f.read("F_2.xmp");
    RevertResult r = f.revert();
    assertThat(r.counts())
        .isEqualTo(
            Map.of(
                RevertResult.What.RESTORED, 1,
                RevertResult.What.REMOVED, 1,
                RevertResult.What.TOUCHED_SINCE, 1));
    assertThat(r.attention()).isTrue();
    assertThat(f.read("F_2.xmp")).isEqualTo(touched);
    try (SidecarSession session = SidecarSession.open(shoot)) {
      assertThat(Revert.last(session, true, Progress.NONE).counts())
          .isEqualTo(Map.of(RevertResult.What.REMOVED, 1));
    }
    assertThat(Files.exists(shoot.resolve("F_2.xmp"))).isFalse();
  }

  @Test
  void revert_toAnEarlierCarry_undoesAllSince() {
    Fixture f = graded("F_1.DNG", "F_2.DNG");
    Map<String, String> before = f.snapshot();
    f.carry();
    for (int i = 0; i < 2; i++) {
      f.match("F_2.DNG", "F_1.DNG", i + 1, 0);
      f.carry();
    }
    List<Revert.Entry> list = Revert.list(shoot);
    assertThat(list).extracting(Revert.Entry::sidecars).containsExactly(1, 1, 2);
    String first = list.get(2).id();
    try (SidecarSession session = SidecarSession.open(shoot)) {
      RevertResult r = Revert.to(session, first, false, Progress.NONE);
      assertThat(r.carries()).hasSize(3);
      assertThat(r.attention()).isFalse();
      assertThatThrownBy(() -> Revert.to(session, "77", false, Progress.NONE))
          .isInstanceOf(RefusedInputException.class)
          .hasMessageContaining("0001");
    }
    assertThat(f.snapshot()).isEqualTo(before);
    assertThat(Revert.list(shoot)).allMatch(Revert.Entry::undone);
  }

  @Test
  void revert_forgedJournal_touchesNothingButSidecarsInTheShoot() throws IOException {
    Fixture f = graded("F_1.DNG", "F_2.DNG");
    f.carry();
    f.write("notes.txt", "mine");
    Path outside = Files.writeString(Files.createTempFile("samelight", ".xmp"), "theirs");
    Path journal = shoot.resolve("samelight/journal/0001.jsonl");
    String text = Files.readString(journal);
    for (String path :
        List.of(
            "../" + outside.getFileName(),
            outside.toString(),
            "notes.txt",
            "F_2.DNG",
            "a/../F_2.xmp")) {
      String forged = text.replace("\"F_2.xmp\"", "\"" + path + "\"");
      forged = reseal(forged);
      Files.writeString(journal, forged);
      RevertResult r;
      try (SidecarSession session = SidecarSession.open(shoot)) {
        r = Revert.last(session, true, Progress.NONE);
      }
      assertThat(r.sidecars())
          .anyMatch(e -> e.what() == RevertResult.What.REFUSED && e.sidecar().equals(path));
      assertThat(Files.readString(outside)).isEqualTo("theirs");
      assertThat(f.read("notes.txt")).isEqualTo("mine");
      assertThat(Files.exists(shoot.resolve("F_2.DNG"))).isTrue();
    }
    Files.delete(outside);
  }

  private static String reseal(String journal) {
    int ready = journal.indexOf("{\"ready\"");
    String head = journal.substring(0, ready);
    String hash = samelight.engine.files.ContentHash.of(Fixture.utf8(head));
    return head + journal.substring(ready).replaceFirst("[0-9a-f]{64}", hash);
  }

  @Test
  void open_damagedJournal_isRefusedWithTheLine() throws IOException {
    Fixture f = graded("F_1.DNG", "F_2.DNG");
    f.carry();
    Path journal = shoot.resolve("samelight/journal/0001.jsonl");
    String text = Files.readString(journal);
    Files.writeString(journal, text.replaceFirst("\"sidecar\"", "\"sidecrab\""));
    assertThatThrownBy(f::revert)
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("0001.jsonl")
        .hasMessageContaining("line 2");
  }

  @Test
  void take_heldLock_namesTheHolder_andAStaleOneIsTakenOver() throws IOException {
    ShootPaths paths = ShootPaths.of(shoot);
    try (ShootLock lock = ShootLock.take(paths)) {
      assertThat(lock.takenOver()).isEmpty();
      assertThatThrownBy(() -> ShootLock.take(paths))
          .isInstanceOf(RefusedInputException.class)
          .hasMessageContaining("only one command");
    }
    Files.writeString(shoot.resolve("samelight/lock"), "process 99, since 2026-06-20T21:04:11Z\n");
    try (ShootLock lock = ShootLock.take(paths)) {
      assertThat(lock.takenOver()).contains("process 99, since 2026-06-20T21:04:11Z");
    }
  }

  @Test
  void resolve_pathsThatLeaveTheShoot_areRefused() throws IOException {
    ShootPaths paths = ShootPaths.of(shoot);
    for (String bad :
        List.of(
            "",
            "/etc/passwd",
            "..",
            "../x",
            "a/../../x",
            "a//b",
            "./a",
            "a/",
            "a\\b",
            "a/./b",
            "a\0b")) {
      assertThatThrownBy(() -> paths.resolve(bad))
          .as(bad)
          .isInstanceOf(RefusedInputException.class);
    }
    assertThat(paths.resolve("a/b.xmp")).isEqualTo(paths.root().resolve("a").resolve("b.xmp"));
  }

  @Test
  void prune_manyCarries_keepsTheNewest() throws IOException {
    Fixture f = graded("F_1.DNG", "F_2.DNG");
    for (int i = 0; i < JournalStore.KEEP + 5; i++) {
      f.match("F_2.DNG", "F_1.DNG", 0.01 * i, 0);
      f.carry();
    }
    try (var files = Files.list(shoot.resolve("samelight/journal"))) {
      assertThat(files).hasSize(JournalStore.KEEP);
    }
    assertThat(Revert.list(shoot).get(0).id()).isEqualTo("0025");
  }

  @Test
  void stray_isRecognisedByItsNameOnly() {
    assertThat(DurableFile.isStray(".samelight-0123456789ab.tmp")).isTrue();
    assertThat(DurableFile.isStray(".samelight-0123456789abc.tmp")).isFalse();
    assertThat(DurableFile.isStray("samelight-0123456789ab.tmp")).isFalse();
  }
}
