package samelight.engine.metadata;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.regex.Pattern;
import javax.xml.stream.XMLStreamException;
import samelight.engine.frame.Finding;
import samelight.engine.hevc.HevcDecoder;
import samelight.engine.hevc.HevcPicture;
import samelight.engine.hevc.Streams;

/**
 * What a fuzzer runs on bytes of its making, and {@link FuzzRegressionTest} on what it once found.
 * A target throws for what mustn't happen: an exception that the code doesn't declare, more memory
 * than a file may take, a frame and no frame at once. {@link FuzzRun} says how to run them.
 */
public final class FuzzTargets {
  /** Memory that one file may take, all that is allocated on the way counted. */
  static final long MOST_BYTES = 64L << 20;

  /** All of them by name. */
  static final Map<String, Consumer<byte[]>> ALL =
      Map.of(
          "Frames", Frames::fuzzerTestOneInput,
          "Boxes", Boxes::fuzzerTestOneInput,
          "Jpegs", Jpegs::fuzzerTestOneInput,
          "Hevcs", Hevcs::fuzzerTestOneInput,
          "Packets", Packets::fuzzerTestOneInput);

  /** Bugs that the reader's net caught: they would stand in a finding's words. */
  private static final Pattern BUG =
      Pattern.compile(
          "(NullPointer|IndexOutOfBounds|ArrayIndexOutOfBounds|StringIndexOutOfBounds"
              + "|NegativeArraySize|Arithmetic|ClassCast|IllegalArgument|IllegalState|ArrayStore"
              + "|NumberFormat|DateTime|BufferUnderflow|NoSuchElement|UnsupportedOperation)"
              + "Exception.*|StackOverflowError.*|OutOfMemoryError.*");

  private static final com.sun.management.ThreadMXBean THREADS =
      (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();

  private FuzzTargets() {}

  private interface Task {
    void run() throws IOException, XMLStreamException;
  }

  /** What is broken in the bytes may be refused in the ways that are declared. */
  private static void measured(Task task) {
    // Classes that are loaded on the way count too, but only once.
    if (allocated(task) > MOST_BYTES) {
      long again = allocated(task);
      if (again > MOST_BYTES) {
        throw new AssertionError(again + " bytes allocated for one file");
      }
    }
  }

  private static long allocated(Task task) {
    long before = THREADS.getCurrentThreadAllocatedBytes();
    try {
      task.run();
    } catch (IOException | XMLStreamException | Budget.ExceededUnchecked e) {
      // declared
    }
    return THREADS.getCurrentThreadAllocatedBytes() - before;
  }

  /** The whole reader, through a file where the bytes are more than its first read. */
  public static final class Frames {
    private static final FrameReader READER = new FrameReader();
    private static final Path FILE = file();

    private Frames() {}

    private static Path file() {
      try {
        Path file = Files.createTempFile("samelight-fuzz", ".bin");
        file.toFile().deleteOnExit();
        return file;
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }

    /** One run. */
    public static void fuzzerTestOneInput(byte[] data) {
      measured(
          () -> {
            Reading r;
            if (data.length > 2 * ByteSource.BLOCK) {
              Files.write(FILE, data);
              try (ByteSource source = ByteSource.open(FILE, new Budget())) {
                r = READER.read("x.JPG", source);
              }
            } else {
              r = READER.read("x.JPG", ByteSource.memory(data, new Budget()));
            }
            check(r);
          });
    }

    private static void check(Reading r) {
      List<Finding> findings = r.findings();
      if (r.frame() == null && findings.isEmpty()) {
        throw new AssertionError("neither frame nor finding");
      }
      for (Finding f : findings) {
        if (BUG.matcher(f.actual()).lookingAt()) {
          throw new AssertionError(f.toString());
        }
      }
    }
  }

  /** The walks over boxes of the ISO base media file format, whatever the brand. */
  public static final class Boxes {
    private Boxes() {}

    /** One run. */
    public static void fuzzerTestOneInput(byte[] data) {
      for (Container c : List.of(new HeifFile(), new Cr3File())) {
        measured(() -> c.read(ByteSource.memory(data, new Budget()), new Collected()));
      }
    }
  }

  /** The decoder, at three scales. */
  public static final class Jpegs {
    private static final int[] SIDES = {1, 80, 4000};

    private Jpegs() {}

    /** One run. */
    public static void fuzzerTestOneInput(byte[] data) {
      for (int side : SIDES) {
        measured(
            () -> {
              ByteSource source = ByteSource.memory(data, new Budget());
              ReducedJpeg.Pixels p = ReducedJpeg.decode(source, 0, data.length, side);
              if (p.rgb().length != 3 * p.width() * p.height()
                  || !(p.decoded() >= 0 && p.decoded() <= 1)) {
                throw new AssertionError(p.toString());
              }
            });
      }
    }
  }

  /** The decoder of HEVC: two bytes say how long the content of hvcC is, which the item follows. */
  public static final class Hevcs {
    private Hevcs() {}

    /** One run. */
    public static void fuzzerTestOneInput(byte[] data) {
      if (data.length < 2) {
        return;
      }
      int sets = Math.min(data.length - 2, (data[0] & 0xFF) << 8 | (data[1] & 0xFF));
      measured(
          () -> {
            HevcPicture p =
                HevcDecoder.decode(
                    Arrays.copyOfRange(data, 2, 2 + sets),
                    Arrays.copyOfRange(data, 2 + sets, data.length));
            if (p.planes().get(0).length != p.width() * p.height()) {
              throw new AssertionError(p.toString());
            }
          });
    }

    /** What the target takes for a stream. */
    static byte[] input(Streams.Item item) {
      byte[] sets = item.configuration();
      ByteBuffer b = ByteBuffer.allocate(2 + sets.length + item.data().length);
      return b.putShort((short) sets.length).put(sets).put(item.data()).array();
    }
  }

  /** XMP packets. */
  public static final class Packets {
    private Packets() {}

    /** One run. */
    public static void fuzzerTestOneInput(byte[] data) {
      measured(
          () -> {
            Double rating = EmbeddedXmp.read(data, new Budget()).rating();
            if (rating != null && !(rating >= -1 && rating <= 5)) {
              throw new AssertionError("rating " + rating);
            }
          });
    }
  }
}
