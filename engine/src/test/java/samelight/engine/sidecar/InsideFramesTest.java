package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;

/** A raw editor that keeps its edits inside the frames' own files. */
class InsideFramesTest {
  @TempDir Path shoot;
  private Fixture f = new Fixture(Path.of("."));

  @BeforeEach
  void editReference() {
    f = Fixture.of(shoot, "F_1.JPG", "F_2.JPG", "F_3.JPG");
    f.maps.clear();
    f.maps.add(map());
    put("F_1.JPG", Fixture.sidecar("+0.35", "5000"));
    put("F_2.JPG", plain());
    put("F_3.JPG", plain());
  }

  private static EditMap map() {
    EditMap m = Fixture.map();
    return new EditMap(
        m.version(),
        null,
        EditMap.Place.FRAME,
        m.namespaces(),
        m.exposure(),
        m.cct(),
        null,
        m.stays(),
        List.of(),
        List.of());
  }

  private static String plain() {
    return "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
        + "<rdf:Description rdf:about='' xmlns:xmp='http://ns.adobe.com/xap/1.0/' xmp:Rating='3'/>"
        + "</rdf:RDF>";
  }

  /** A JPEG that holds nothing but a packet: APP1 with the signature of ISO 16684-3, 1.1.3. */
  static byte[] jpeg(String packet) {
    byte[] signature = "http://ns.adobe.com/xap/1.0/\0".getBytes(StandardCharsets.ISO_8859_1);
    byte[] xmp = packet.getBytes(StandardCharsets.UTF_8);
    int length = 2 + signature.length + xmp.length;
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(new byte[] {(byte) 0xFF, (byte) 0xD8, (byte) 0xFF, (byte) 0xE1});
    out.writeBytes(new byte[] {(byte) (length >> 8), (byte) length});
    out.writeBytes(signature);
    out.writeBytes(xmp);
    out.writeBytes(new byte[] {(byte) 0xFF, (byte) 0xD9});
    return out.toByteArray();
  }

  /** A TIFF, as a DNG is, that holds nothing but a packet in tag 700. */
  static byte[] tiff(String packet) {
    byte[] xmp = packet.getBytes(StandardCharsets.UTF_8);
    ByteBuffer b = ByteBuffer.allocate(26 + xmp.length).order(ByteOrder.LITTLE_ENDIAN);
    b.put((byte) 'I').put((byte) 'I').putShort((short) 42).putInt(8);
    b.putShort((short) 1).putShort((short) 700).putShort((short) 1).putInt(xmp.length).putInt(26);
    b.putInt(0).put(xmp);
    return b.array();
  }

  private void put(String frame, String packet) {
    try {
      Files.write(shoot.resolve(frame), jpeg(packet));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** The editor reads a sidecar and saves what it understood into the frame. */
  private void takeIn(String frame, String gain, String kelvin) {
    put(frame, Fixture.sidecar(gain, kelvin).replace(" ed:FrameBox=\"0.1 0.1 0.9 0.9\"", ""));
  }

  private CarryPlan plan() {
    return CarryPlan.of(f.request());
  }

  private CarryResult carryTrial() {
    try (SidecarSession session = SidecarSession.open(shoot)) {
      return Carry.run(session, plan().trial(), Progress.NONE);
    }
  }

  private Map<String, String> originals() throws IOException {
    Map<String, String> all = new TreeMap<>();
    for (String name : List.of("F_1.JPG", "F_2.JPG", "F_3.JPG")) {
      all.put(name, ContentHash.of(Files.readAllBytes(shoot.resolve(name))));
    }
    return all;
  }

  @Test
  void learn_fromJpegAndDng_saysThatEditsAreInside() throws IOException {
    for (boolean dng : new boolean[] {false, true}) {
      Path a = shoot.resolve(dng ? "a.dng" : "a.jpg");
      Path b = shoot.resolve(dng ? "b.dng" : "b.jpg");
      String before = Fixture.sidecar("0.00", "5000");
      String after = Fixture.sidecar("+1.00", "5000");
      Files.write(a, dng ? tiff(before) : jpeg(before));
      Files.write(b, dng ? tiff(after) : jpeg(after));
      Teach.Taught taught =
          Teach.learn(
              new Teach.Lessons(
                  null,
                  List.of(new Teach.Step(0, 1, a, b)),
                  List.of(),
                  List.of(),
                  List.of(),
                  null,
                  null,
                  null));
      assertThat(taught.map().edits()).isEqualTo(EditMap.Place.FRAME);
      assertThat(taught.map().exposure().name()).isEqualTo(Fixture.GAIN);
      assertThat(taught.notes()).anyMatch(n -> n.contains("inside the frame's own file"));
    }
  }

  @Test
  void carry_firstTime_triesOneFrameAndLeavesOriginalsAlone() throws IOException {
    Map<String, String> before = originals();
    assertThat(plan().tryFirst()).isTrue();
    CarryResult r = carryTrial();
    assertThat(r.count(Outcome.WRITTEN)).isEqualTo(1);
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+0.45");
    assertThat(shoot.resolve("F_3.xmp")).doesNotExist();
    assertThat(originals()).isEqualTo(before);
  }

  @Test
  void carry_editorIgnoresTheTrial_isRefusedWithTheList() {
    carryTrial();
    assertThatThrownBy(this::plan)
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("F_2.JPG")
        .hasMessageContaining("--print");
    assertThat(Confirm.of(shoot, f.frames).entries())
        .extracting(Confirm.Entry::state)
        .containsExactly(Confirm.State.IGNORED);
  }

  @Test
  void carry_editorTookTheTrialIn_carriesToAll() {
    carryTrial();
    takeIn("F_2.JPG", "+0.45", "4950");
    assertThat(Confirm.of(shoot, f.frames).entries())
        .extracting(Confirm.Entry::state)
        .containsExactly(Confirm.State.KEPT);
    assertThat(plan().tryFirst()).isFalse();
    f.carry();
    assertThat(f.text("F_3.xmp", Fixture.GAIN)).isEqualTo("+0.55");
  }

  @Test
  void carry_trialTakenBack_triesAgain() {
    carryTrial();
    f.revert();
    assertThat(plan().tryFirst()).isTrue();
  }

  @Test
  void carry_touchesInsideTheFrame_survive() {
    carryTrial();
    takeIn("F_2.JPG", "+0.45", "4950");
    f.carry();
    takeIn("F_3.JPG", "+0.55", "4902");
    put("F_2.JPG", f.read("F_2.xmp").replace("\"+0.45\"", "\"+0.75\"").replace("\"12\"", "\"40\""));
    assertThat(Confirm.of(shoot, f.frames).counts())
        .containsEntry(Confirm.State.CHANGED_BY_HAND, 1);
    put("F_1.JPG", Fixture.sidecar("+1.00", "5000").replace("\"12\"", "\"20\""));
    CarryResult r = f.carry();
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+1.40");
    assertThat(f.text("F_2.xmp", Fixture.SPECKLE)).isEqualTo("40");
    assertThat(f.text("F_3.xmp", Fixture.GAIN)).isEqualTo("+1.20");
    assertThat(f.text("F_3.xmp", Fixture.SPECKLE)).isEqualTo("20");
    assertThat(r.touches()).extracting(HandTouch::frame).containsOnly("F_2.JPG").hasSize(2);
  }

  @Test
  void carry_frameThatTheEditorHasNotReadYet_isNoTouch() {
    carryTrial();
    takeIn("F_2.JPG", "+0.45", "4950");
    f.carry();
    put("F_1.JPG", Fixture.sidecar("+1.00", "5000"));
    assertThat(f.carry().touches()).isEmpty();
    assertThat(f.text("F_3.xmp", Fixture.GAIN)).isEqualTo("+1.20");
  }

  @Test
  void carry_frameEditedInsideBefore_isLeftAlone() {
    put("F_3.JPG", Fixture.sidecar("+0.90", "5200"));
    CarryPlan plan = plan();
    assertThat(plan.outcomes().get(2).outcome()).isEqualTo(Outcome.EDITED_BEFORE);
    assertThat(plan.matchTests()).hasSize(1);
    assertThat(SidecarReader.editedBefore(shoot, f.frames, f.maps))
        .containsExactlyInAnyOrder("F_1.JPG", "F_3.JPG");
  }
}
