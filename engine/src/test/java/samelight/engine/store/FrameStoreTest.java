package samelight.engine.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.lifecycle.AfterProperty;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.FrameLight;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Picture;
import samelight.engine.frame.SmallImage;
import samelight.engine.metadata.Category;
import samelight.engine.metadata.FileStamp;
import samelight.engine.metadata.ReadingCache;
import samelight.engine.metadata.ShootReading;
import samelight.engine.quantity.Ev;

class FrameStoreTest {
  private final List<Path> folders = new ArrayList<>();

  @Provide
  Arbitrary<List<Frame>> frames() {
    return AnyFrame.lists();
  }

  @Property(tries = 150)
  void write_anyFrames_loadsThemEqual(@ForAll("frames") List<Frame> frames) throws IOException {
    ShootPaths shoot = shoot(Files.createTempDirectory("samelight-store-"));
    folders.add(shoot.root());
    ShootReading reading = reading(frames);
    FrameStore store = FrameStore.open(shoot);

    store.write(reading, light(frames));

    ShootReading loaded = FrameStore.load(shoot, true);
    assertThat(loaded.frames()).isEqualTo(reading.frames());
    assertThat(loaded.files()).isEqualTo(reading.files());
    assertThat(loaded.stamps()).isEqualTo(reading.stamps());
    assertThat(loaded.findings()).containsExactlyInAnyOrderElementsOf(reading.findings());
  }

  @Property(tries = 50)
  void keep_anyFrame_givesAnEqualOne(@ForAll("frames") List<Frame> frames) throws IOException {
    ShootPaths shoot = shoot(Files.createTempDirectory("samelight-store-"));
    folders.add(shoot.root());
    FrameStore store = FrameStore.open(shoot);

    for (Frame frame : frames) {
      assertThat(store.keep(frame)).isEqualTo(frame);
    }
  }

  @AfterProperty
  void deleteFolders() throws IOException {
    for (Path folder : folders) {
      try (var files = Files.walk(folder)) {
        for (Path file : files.sorted(java.util.Comparator.reverseOrder()).toList()) {
          Files.delete(file);
        }
      }
    }
    folders.clear();
  }

  @Test
  void known_afterWrite_givesFrameStampAndFindings(@TempDir Path folder) throws IOException {
    ShootPaths shoot = shoot(folder);
    Frame frame = frame("A/1.JPG", 5);
    Finding finding = new Finding("A/2.JPG", null, "a picture", "text", "left out");
    ShootReading reading =
        new ShootReading(
            List.of(frame),
            new TreeMap<>(Map.of("A/1.JPG", Category.FRAME, "A/2.JPG", Category.UNREADABLE)),
            new TreeMap<>(Map.of("A/1.JPG", stamp(1), "A/2.JPG", stamp(2))),
            List.of(finding));
    FrameStore.open(shoot).write(reading, Map.of());

    FrameStore again = FrameStore.open(shoot);

    assertThat(again.setAside()).isNull();
    assertThat(again.known("A/1.JPG"))
        .isEqualTo(new ReadingCache.Known(stamp(1), frame, List.of()));
    assertThat(again.known("A/2.JPG"))
        .isEqualTo(new ReadingCache.Known(stamp(2), null, List.of(finding)));
    assertThat(again.known("A/3.JPG")).isNull();
  }

  @Test
  void known_afterAnotherEditionOfTheReader_isNothing(@TempDir Path folder) throws IOException {
    ShootPaths shoot = shoot(folder);
    ShootReading reading =
        new ShootReading(
            List.of(frame("A/1.JPG", 5)),
            new TreeMap<>(Map.of("A/1.JPG", Category.FRAME)),
            new TreeMap<>(Map.of("A/1.JPG", stamp(1))),
            List.of());
    FrameStore.open(shoot).write(reading, Map.of());
    Path file = shoot.resolve(FrameStore.NAME);
    String now = "\"reader\": " + samelight.engine.metadata.ShootReader.EDITION + ",";
    String text = Files.readString(file);
    assertThat(text).contains(now);

    Files.writeString(file, text.replace(now, ""));

    assertThat(FrameStore.open(shoot).known("A/1.JPG")).isNull();
    assertThat(FrameStore.load(shoot, true).frames()).isEqualTo(reading.frames());
  }

  @Test
  void write_twiceWithOneFrameReadAnew_appendsOnlyItsPixels(@TempDir Path folder)
      throws IOException {
    ShootPaths shoot = shoot(folder);
    Frame one = frame("1.JPG", 5);
    Frame two = frame("2.JPG", 9);
    FrameStore.open(shoot).write(reading(List.of(one, two)), Map.of());
    long before = Files.size(folder.resolve(PixelFile.NAME));

    FrameStore store = FrameStore.open(shoot);
    Frame known = frameOf(store, "1.JPG");
    Frame changed = store.keep(frame("2.JPG", 77));
    store.write(reading(List.of(known, changed)), Map.of());

    assertThat(Files.size(folder.resolve(PixelFile.NAME)) - before).isEqualTo(4 * 4 * 3);
    assertThat(FrameStore.load(shoot, true).frames()).containsExactly(one, frame("2.JPG", 77));
  }

  @Test
  void known_pixelDamaged_onlyThatFrameIsReadAnew(@TempDir Path folder) throws IOException {
    ShootPaths shoot = shoot(folder);
    FrameStore.open(shoot).write(reading(List.of(frame("1.JPG", 5), frame("2.JPG", 9))), Map.of());
    try (FileChannel channel =
        FileChannel.open(folder.resolve(PixelFile.NAME), StandardOpenOption.WRITE)) {
      channel.write(ByteBuffer.wrap(new byte[] {1, 2, 3}), 32);
    }

    FrameStore store = FrameStore.open(shoot);

    assertThat(store.known("1.JPG")).isNull();
    assertThat(store.known("2.JPG")).isNotNull();
    assertThatThrownBy(() -> FrameStore.load(shoot, true))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("small-images.bin")
        .hasMessageContaining("samelight group");
  }

  @Test
  void open_pixelFileOfAnotherReading_readsAllAnew(@TempDir Path folder) throws IOException {
    ShootPaths shoot = shoot(folder);
    FrameStore.open(shoot).write(reading(List.of(frame("1.JPG", 5))), Map.of());
    Files.delete(folder.resolve(PixelFile.NAME));

    FrameStore store = FrameStore.open(shoot);

    assertThat(store.known("1.JPG")).isNull();
    store.write(reading(List.of(store.keep(frame("1.JPG", 5)))), Map.of());
    assertThat(FrameStore.load(shoot, true).frames()).containsExactly(frame("1.JPG", 5));
  }

  @Test
  void open_framesJsonIsNonsense_saysWhyAndReadsAnew(@TempDir Path folder) throws IOException {
    ShootPaths shoot = shoot(folder);
    FrameStore.open(shoot).write(reading(List.of(frame("1.JPG", 5))), Map.of());
    Path json = folder.resolve(FrameStore.NAME);
    Files.writeString(json, Files.readString(json).replace("\"iso\": null", "\"iso\": -3"));

    FrameStore store = FrameStore.open(shoot);

    assertThat(store.setAside()).contains("frames.json").contains("frames[0].iso");
    assertThat(store.known("1.JPG")).isNull();
  }

  @Test
  void write_linkInPlaceOfThePixels_isRefused(@TempDir Path folder) throws IOException {
    ShootPaths shoot = shoot(folder.resolve("shoot"));
    Path precious = Files.writeString(folder.resolve("precious.txt"), "keep me");
    Files.createSymbolicLink(shoot.root().resolve(PixelFile.NAME), precious);

    assertThatThrownBy(() -> FrameStore.open(shoot)).isInstanceOf(RefusedInputException.class);
    assertThat(precious).hasContent("keep me");
  }

  private static Frame frameOf(FrameStore store, String file) {
    ReadingCache.Known known = Objects.requireNonNull(store.known(file));
    return Objects.requireNonNull(known.frame());
  }

  private static ShootPaths shoot(Path folder) throws IOException {
    Files.createDirectories(folder.resolve("samelight"));
    return ShootPaths.of(folder);
  }

  private static Frame frame(String file, int grey) {
    byte[] rgb = new byte[4 * 4 * 3];
    java.util.Arrays.fill(rgb, (byte) grey);
    Picture picture = new Picture(1, 600, 400, new SmallImage(4, 4, rgb), null, null, null);
    return new Frame(
        file,
        null,
        new BodyId("a", "Arden", "One", "77"),
        null,
        samelight.engine.frame.CaptureSettings.UNKNOWN,
        null,
        samelight.engine.frame.WhiteBalance.UNKNOWN,
        samelight.engine.frame.Optics.UNKNOWN,
        picture,
        samelight.engine.frame.Marks.NONE,
        Map.of(),
        List.of());
  }

  private static ShootReading reading(List<Frame> frames) {
    TreeMap<String, Category> files = new TreeMap<>();
    TreeMap<String, FileStamp> stamps = new TreeMap<>();
    List<Finding> findings = new ArrayList<>();
    for (Frame frame : frames) {
      files.put(frame.file(), Category.FRAME);
      stamps.put(frame.file(), stamp(frame.file().length()));
      findings.addAll(frame.findings());
    }
    return new ShootReading(frames, files, stamps, findings);
  }

  private static Map<String, FrameLight> light(List<Frame> frames) {
    Map<String, FrameLight> light = new HashMap<>();
    frames.forEach(
        f ->
            light.put(
                f.file(),
                new FrameLight(
                    f.settings().exposureTime(),
                    f.settings().fNumber(),
                    f.settings().iso(),
                    "third stops",
                    new Ev(8),
                    null)));
    return light;
  }

  private static FileStamp stamp(int n) {
    return new FileStamp(n, 1_000L * n, "0123456789abcde" + (n % 10));
  }

  @Test
  void bytes_sameReading_sameJson(@TempDir Path folder) throws IOException {
    ShootPaths shoot = shoot(folder);
    FrameStore.open(shoot).write(reading(List.of(frame("1.JPG", 5))), Map.of());
    String first = Files.readString(folder.resolve(FrameStore.NAME), StandardCharsets.UTF_8);

    FrameStore store = FrameStore.open(shoot);
    store.write(reading(List.of(frameOf(store, "1.JPG"))), Map.of());

    assertThat(folder.resolve(FrameStore.NAME)).hasContent(first);
  }
}
