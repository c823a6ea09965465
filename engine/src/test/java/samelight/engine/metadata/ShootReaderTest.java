package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;

class ShootReaderTest {
  @TempDir Path shoot;

  private ShootReading read() throws IOException {
    return read(ReadingCache.NONE);
  }

  private ShootReading read(ReadingCache known) throws IOException {
    return new ShootReader().read(shoot, known, ReadProgress.NONE);
  }

  private void put(String name, byte[] bytes) throws IOException {
    Path file = shoot.resolve(name);
    Files.createDirectories(file.getParent());
    Files.write(file, bytes);
  }

  private static List<String> rules(ShootReading r, String file) {
    return r.findings().stream().filter(f -> f.file().equals(file)).map(Finding::rule).toList();
  }

  @Test
  void read_noSuchFolder_saysWhich() {
    Path none = shoot.resolve("none");
    assertThatThrownBy(() -> new ShootReader().read(none, ReadingCache.NONE, ReadProgress.NONE))
        .isInstanceOf(NoSuchShootException.class)
        .hasMessageContaining("none")
        .hasMessageContaining("no such folder");
  }

  @Test
  void read_emptyFolder_isEmpty() throws IOException {
    assertThat(read().frames()).isEmpty();
  }

  @Test
  void read_everyKindOfFile_isCountedOnce() throws IOException {
    put("a/IMG_0001.JPG", Samples.bytes("Canon_40D.jpg"));
    put("a/IMG_0002.CR2", Samples.bytes("Canon_S90.cr2"));
    put("a/MVI_0003.MOV", new byte[] {1});
    put("a/IMG_0001.WAV", new byte[] {1});
    put("a/IMG_0001.xmp", new byte[] {1});
    put("a/notes.txt", new byte[] {1});
    put("a/._IMG_0001.JPG", new byte[] {1});
    put("a/IMG_0004.JPG", "not a picture".getBytes(StandardCharsets.UTF_8));
    put("samelight/frames.json", new byte[] {1});
    put("b/samelight/IMG_0005.JPG", Samples.bytes("Canon_40D.jpg"));
    ShootReading r = read();
    assertThat(r.counts())
        .isEqualTo(
            Map.of(
                Category.FRAME, 3,
                Category.PAIRED_JPEG, 0,
                Category.VIDEO, 1,
                Category.COMPANION, 1,
                Category.SIDECAR, 1,
                Category.UNREADABLE, 1,
                Category.OTHER, 2));
    assertThat(r.files()).doesNotContainKey("samelight/frames.json");
  }

  @Test
  void read_badFiles_giveFindings() throws IOException {
    put("text.JPG", "Dear diary".getBytes(StandardCharsets.UTF_8));
    put("empty.JPG", new byte[0]);
    put("cut.JPG", java.util.Arrays.copyOf(Samples.bytes("Canon_40D.jpg"), 5000));
    put("header.CR2", java.util.Arrays.copyOf(Samples.bytes("Canon_S90.cr2"), 20));
    Files.createDirectory(shoot.resolve("folder.CR2"));
    put("folder.CR2/IMG_0001.JPG", Samples.bytes("Canon_40D.jpg"));
    ShootReading r = read();
    assertThat(r.files().get("text.JPG")).isEqualTo(Category.UNREADABLE);
    assertThat(r.findings())
        .anySatisfy(
            f -> {
              assertThat(f.file()).isEqualTo("text.JPG");
              assertThat(f.actual()).contains("44 65 61 72");
            });
    assertThat(rules(r, "empty.JPG")).containsExactly("a picture's bytes");
    assertThat(r.files().get("cut.JPG")).isEqualTo(Category.FRAME);
    assertThat(rules(r, "cut.JPG")).contains("a JPEG end marker");
    assertThat(r.files().get("header.CR2")).isEqualTo(Category.UNREADABLE);
    assertThat(rules(r, "folder.CR2")).containsExactly("a picture's name is a file's");
    assertThat(r.files().get("folder.CR2/IMG_0001.JPG")).isEqualTo(Category.FRAME);
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void read_pipesAndLinks_areLeftOut() throws Exception {
    put("IMG_0001.JPG", Samples.bytes("Canon_40D.jpg"));
    Files.createSymbolicLink(shoot.resolve("IMG_0002.JPG"), shoot.resolve("IMG_0001.JPG"));
    Files.createSymbolicLink(shoot.resolve("up"), shoot.getParent());
    assertThat(new ProcessBuilder("mkfifo", shoot.resolve("pipe.CR2").toString()).start().waitFor())
        .isZero();
    ShootReading r = read();
    assertThat(r.frames()).hasSize(1);
    assertThat(r.files().get("pipe.CR2")).isEqualTo(Category.UNREADABLE);
    assertThat(r.files().get("IMG_0002.JPG")).isEqualTo(Category.UNREADABLE);
    assertThat(r.files().get("up")).isEqualTo(Category.OTHER);
    assertThat(rules(r, "pipe.CR2")).containsExactly("a regular file");
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void read_namesThatNoPlanCanHold_areCountedAndLeftOut() throws Exception {
    byte[] jpeg = Samples.bytes("Canon_40D.jpg");
    put("IMG_0001.JPG", jpeg);
    put("a\\b.JPG", jpeg);
    put("c:/IMG_0002.JPG", jpeg);
    String[] copy = {
      "sh", "-c", "for b in 376 377; do cp IMG_0001.JPG \"$(printf \"no\\\\$b.JPG\")\" || :; done"
    };
    new ProcessBuilder(copy).directory(shoot.toFile()).start().waitFor();
    int files;
    try (Stream<Path> all = Files.walk(shoot)) {
      files = (int) all.filter(Files::isRegularFile).count();
    }

    ShootReading r = read();

    assertThat(r.frames()).hasSize(1);
    assertThat(r.files()).hasSize(files);
    assertThat(rules(r, "a\\b.JPG"))
        .containsExactly("a path that can be written down for any system");
    assertThat(r.files().get("c:/IMG_0002.JPG")).isEqualTo(Category.UNREADABLE);
    if (files == 5) { // where the file system takes any bytes
      assertThat(r.files()).containsKeys("no%FE.JPG", "no%FF.JPG");
    }
  }

  @Test
  void read_frameWithoutTimeOrSettings_staysAFrameWithFindings() throws IOException {
    put("A_0001.JPG", Samples.bytes("Canon_40D.jpg"));
    put("A_0002.JPG", ReducedJpegTest.encode(ReducedJpegTest.picture(320, 200), 0.9f, false));
    put("A_0003.JPG", Samples.bytes("Canon_40D.jpg"));
    ShootReading r = read();
    Frame f = r.frames().get(1);
    assertThat(f.time()).isNull();
    assertThat(f.picture().small()).isNotNull();
    assertThat(f.findings())
        .anySatisfy(
            x -> {
              assertThat(x.rule()).isEqualTo(Pairs.TIME_RULE);
              assertThat(x.action()).contains("between A_0001.JPG and A_0003.JPG");
            })
        .anySatisfy(x -> assertThat(x.actual()).isEqualTo("no exposure time, no f-number, no ISO"));
  }

  @Test
  void read_rawAndItsJpeg_areOneFrame() throws IOException {
    // The raw's own bytes under a JPEG's name: equal time and exposure, whatever the container.
    put("IMG_0001.NEF", Samples.bytes("Nikon_D1.nef"));
    put("IMG_0001.JPG", Samples.bytes("Nikon_D1.nef"));
    ShootReading r = read();
    assertThat(r.frames()).hasSize(1);
    assertThat(r.frames().get(0).file()).isEqualTo("IMG_0001.NEF");
    assertThat(r.frames().get(0).paired()).isEqualTo("IMG_0001.JPG");
    assertThat(r.files().get("IMG_0001.JPG")).isEqualTo(Category.PAIRED_JPEG);
  }

  @Test
  void read_sameStemOfOtherTime_staysTwoFrames() throws IOException {
    put("IMG_0001.NEF", Samples.bytes("Nikon_D1.nef"));
    put("IMG_0001.JPG", Samples.bytes("Nikon_D70.jpg"));
    ShootReading r = read();
    assertThat(r.frames()).hasSize(2);
    assertThat(rules(r, "IMG_0001.JPG")).contains(Pairs.STEM_RULE);
  }

  @Test
  void read_secondTime_readsOnlyWhatChanged() throws IOException {
    put("IMG_0001.NEF", Samples.bytes("Nikon_D1.nef"));
    put("IMG_0001.JPG", Samples.bytes("Nikon_D1.nef"));
    put("IMG_0002.JPG", Samples.bytes("Canon_40D.jpg"));
    put("bad.JPG", new byte[] {1, 2, 3});
    ShootReading first = read();
    AtomicInteger kept = new AtomicInteger();
    ReadingCache cache = cache(first, kept);
    ShootReading second = read(cache);
    assertThat(second).isEqualTo(first);
    assertThat(kept).hasValue(0);

    Path changed = shoot.resolve("IMG_0002.JPG");
    FileTime time = Files.getLastModifiedTime(changed);
    byte[] other = Samples.bytes("Canon_40D.jpg");
    other[200] ^= 1;
    Files.write(changed, other);
    Files.setLastModifiedTime(changed, time);
    assertThat(read(cache).frames()).hasSize(2);
    assertThat(kept).as("same size and time, other bytes").hasValue(1);
  }

  private static ReadingCache cache(ShootReading r, AtomicInteger kept) {
    Map<String, Frame> frames = new TreeMap<>();
    r.frames().forEach(f -> frames.put(f.file(), f));
    return new ReadingCache() {
      @Override
      public @org.jspecify.annotations.Nullable Known known(String file) {
        FileStamp stamp = r.stamps().get(file);
        return stamp == null
            ? null
            : new Known(
                stamp,
                frames.get(file),
                r.findings().stream().filter(f -> f.file().equals(file)).toList());
      }

      @Override
      public Frame keep(Frame read) {
        kept.incrementAndGet();
        return read;
      }
    };
  }

  @Test
  void read_twoBodiesOfOneModel_areToldApartBySerial() throws IOException {
    put("a/IMG_0001.JPG", Samples.bytes("Canon_40D.jpg"));
    put("b/DSC_0001.NEF", Samples.bytes("Nikon_D1.nef"));
    put("b/DSC_0002.NEF", Samples.bytes("Nikon_D1.nef"));
    ShootReading r = read();
    assertThat(r.frames().stream().map(f -> f.body().id()).distinct()).hasSize(2);
    assertThat(r.frames()).allSatisfy(f -> assertThat(f.body().id()).matches("[a-z0-9-]+"));
  }

  @Property(tries = 20)
  void read_anyMixture_putsEachFileInExactlyOneCategory(
      @ForAll @Size(max = 12) List<@net.jqwik.api.constraints.IntRange(max = 9) Integer> kinds)
      throws IOException {
    String[] endings = {
      ".JPG", ".NEF", ".cr2", ".MOV", ".wav", ".xmp", ".txt", "", ".jpeg", ".HEIC"
    };
    byte[][] contents = {Samples.bytes("Canon_40D.jpg"), Samples.bytes("Nikon_D1.nef"), {1, 2}, {}};
    Path folder = Files.createTempDirectory("samelight-mixture");
    try {
      TreeSet<String> names = new TreeSet<>();
      for (int i = 0; i < kinds.size(); i++) {
        String name = (i % 3 == 0 ? "sub/" : "") + "F" + i / 2 + endings[kinds.get(i)];
        Path file = folder.resolve(name);
        Files.createDirectories(file.getParent());
        Files.write(file, contents[(i + kinds.get(i)) % contents.length]);
        names.add(name);
      }
      ShootReading r = new ShootReader().read(folder, ReadingCache.NONE, ReadProgress.NONE);
      assertThat(r.files().keySet()).isEqualTo(names);
      assertThat(r.counts().values().stream().mapToInt(i -> i).sum()).isEqualTo(names.size());
      List<String> frames = new ArrayList<>();
      r.frames().forEach(f -> frames.add(f.file()));
      assertThat(frames).isSorted();
      r.files().forEach((n, c) -> assertThat(frames.contains(n)).isEqualTo(c == Category.FRAME));
    } finally {
      delete(folder);
    }
  }

  @Property(tries = 15)
  void read_anyOrderAndThreads_givesTheSame(
      @ForAll @net.jqwik.api.constraints.IntRange(min = 1, max = 5) int threads, @ForAll long seed)
      throws IOException {
    Path folder = Files.createTempDirectory("samelight-order");
    try {
      for (Path p : Samples.all()) {
        Files.copy(p, folder.resolve(p.getFileName().toString()));
      }
      Files.write(folder.resolve("Nikon_D1.jpg"), Samples.bytes("Nikon_D1.nef"));
      Files.write(folder.resolve("Nikon_D1.heic"), Samples.bytes("Nikon_D70.jpg"));
      Files.write(folder.resolve("empty.jpg"), new byte[0]);
      ShootFiles.Listing listing = ShootFiles.list(folder);
      List<ShootFiles.Candidate> shuffled = new ArrayList<>(listing.candidates());
      java.util.Collections.shuffle(shuffled, new java.util.Random(seed));
      ShootReading one = new ShootReader(1).read(listing, ReadingCache.NONE, ReadProgress.NONE);
      ShootReading other =
          new ShootReader(threads)
              .read(
                  new ShootFiles.Listing(
                      listing.files(), shuffled, listing.others(), listing.findings()),
                  ReadingCache.NONE,
                  ReadProgress.NONE);
      assertThat(one.frames()).hasSizeGreaterThan(15);
      assertThat(other).isEqualTo(one);
    } finally {
      delete(folder);
    }
  }

  private static void delete(Path folder) throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path p : all.sorted(java.util.Comparator.reverseOrder()).toList()) {
        Files.delete(p);
      }
    }
  }

  @Test
  void read_again_givesTheSame() throws IOException {
    for (Path p : Samples.all()) {
      Files.copy(p, shoot.resolve(p.getFileName().toString()));
    }
    assertThat(read()).isEqualTo(read());
  }
}
