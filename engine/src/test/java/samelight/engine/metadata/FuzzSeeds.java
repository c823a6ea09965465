package samelight.engine.metadata;

import java.io.IOException;
import java.net.URISyntaxException;
import java.net.URL;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Frame;
import samelight.engine.hevc.Streams;

/** Bytes to start the {@link FuzzTargets} from: the samples, parts of them, and old findings. */
final class FuzzSeeds {
  private FuzzSeeds() {}

  /** What a target was once found wanting on: files of the resources under {@code fuzz/TARGET}. */
  static List<Path> found(String target) throws IOException {
    @Nullable URL folder = FuzzSeeds.class.getResource("fuzz/" + target);
    if (folder == null) {
      return List.of();
    }
    try (Stream<Path> files = Files.list(Path.of(folder.toURI()))) {
      return files.sorted().toList();
    } catch (URISyntaxException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Seeds of a target by name. */
  static Map<String, byte[]> of(String target) throws IOException {
    Map<String, byte[]> seeds = new LinkedHashMap<>();
    for (Path p : found(target)) {
      seeds.put("found-" + p.getFileName(), Files.readAllBytes(p));
    }
    for (Path p : Samples.all()) {
      String name = p.getFileName().toString();
      byte[] bytes = Files.readAllBytes(p);
      switch (target) {
        case "Frames" -> seeds.put(name, bytes);
        case "Boxes" -> {
          if (name.endsWith(".HEIC")) {
            seeds.put(name, java.util.Arrays.copyOf(bytes, 8192));
          }
        }
        case "Jpegs" -> {
          byte[] jpeg = smallest(p, bytes);
          if (jpeg.length > 0) {
            seeds.put(name, jpeg);
          }
        }
        case "Hevcs" -> {}
        default -> FrameReader.xmpPacket(p).ifPresent(x -> seeds.put(name, x));
      }
    }
    switch (target) {
      case "Frames" -> {
        seeds.put("invented.CR3", FrameReaderTest.cr3());
        seeds.put("invented.HEIC", thumbnail());
        seeds.putAll(RawFiles.examples());
      }
      case "Boxes" -> {
        seeds.put("invented.CR3", FrameReaderTest.cr3());
        seeds.put("invented.HEIC", thumbnail());
      }
      case "Hevcs" -> {
        for (String name : Streams.names()) {
          seeds.put(name, FuzzTargets.Hevcs.input(Streams.item(name)));
        }
      }
      case "Jpegs" -> {
        seeds.put(
            "progressive", ReducedJpegTest.encode(ReducedJpegTest.picture(96, 64), 0.8f, true));
        seeds.put("baseline", ReducedJpegTest.encode(ReducedJpegTest.picture(40, 30), 0.8f, false));
      }
      default -> {
        List<String> packets = new ArrayList<>();
        packets.add("<r xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\"><xmp:Rating>3</xmp:Rating></r>");
        packets.add("<r xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='-1' q:Label='Green'/>");
        packets.add("<r xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmp:Rating=\"5\"/>");
        for (int i = 0; i < packets.size(); i++) {
          seeds.put("packet-" + i, packets.get(i).getBytes(StandardCharsets.UTF_8));
        }
      }
    }
    return seeds;
  }

  private static byte[] thumbnail() throws IOException {
    return new HeifFiles(4160, 2880, 0).with("main420", 104, 72).build();
  }

  private static byte[] smallest(Path file, byte[] bytes) {
    @Nullable Frame frame = new FrameReader().read(Samples.folder(), file).frame();
    @Nullable EmbeddedJpeg e = Objects.requireNonNull(frame, file::toString).picture().smallest();
    return e == null
        ? new byte[0]
        : java.util.Arrays.copyOfRange(
            bytes, (int) e.offset(), (int) Math.min(bytes.length, e.offset() + e.length()));
  }

  /** Writes the seeds of a target into a folder. */
  static void write(String target, Path folder) throws IOException {
    for (Map.Entry<String, byte[]> e : of(target).entrySet()) {
      Files.write(folder.resolve(e.getKey()), e.getValue());
    }
  }
}
