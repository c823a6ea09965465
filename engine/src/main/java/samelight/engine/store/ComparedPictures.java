package samelight.engine.store;

import java.io.BufferedOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.zip.CRC32C;
import java.util.zip.CheckedOutputStream;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootPaths;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.likeness.Registration;
import samelight.engine.likeness.SharedContent;
import samelight.engine.likeness.ViewFacts;

/**
 * What comparing the pictures of a shoot showed, kept in {@code samelight/comparisons.bin} so that
 * the next command needn't compare them again. The file holds nothing that can't be found anew: one
 * that is missing, damaged, or made by another version of the program counts as empty. Only what
 * was asked for since it was opened is kept, so that it doesn't grow.
 *
 * <p>Layout, big-endian: the 16 letters {@code samelight looked}, a number of 64 bits that hangs on
 * the program's own classes, then answers: question (8 bits, 255 ends them), two numbers of
 * pictures (64 bits each), a byte that tells whether something was found, and if so nine doubles
 * and two 32-bit numbers in the order of {@link SharedContent}; then what single pictures say: a
 * number (64 bits) and six doubles in the order of {@link ViewFacts}, up to the CRC-32C of all
 * before (32 bits, RFC 3720).
 *
 * <p>The caller holds the shoot's lock where it writes. Not safe for use by several threads.
 */
public final class ComparedPictures implements ComparisonMemory {
  /** Where it lies, relative to the shoot. */
  public static final String NAME = "samelight/comparisons.bin";

  private static final byte[] MAGIC = "samelight looked".getBytes(StandardCharsets.US_ASCII);
  private static final int END = 255;
  private static final long LARGEST = 1L << 30;

  /** Classes on which an answer hangs. */
  static final List<String> CLASSES =
      List.of(
          "likeness/Aligner",
          "likeness/Aligner$Map",
          "likeness/Bands",
          "likeness/Bands$Fit",
          "likeness/CoarseSearch",
          "likeness/CoarseSearch$Peak",
          "likeness/Desk",
          "likeness/Desk$Key",
          "likeness/Desk$Largest",
          "likeness/Fourier",
          "likeness/NormalEquations",
          "likeness/Overlap",
          "likeness/PatchFit",
          "likeness/PatchFit$Correlation",
          "likeness/Plane",
          "likeness/Registration",
          "likeness/Registration$Demand",
          "likeness/Rows",
          "likeness/Scales",
          "likeness/Scales$Shape",
          "likeness/Scales$Spectra",
          "likeness/Scales$Weights",
          "likeness/Skin",
          "likeness/View",
          "photometry/Weighted");

  private static final long PROGRAM = program();

  private final ShootPaths shoot;
  private final Answers before;
  private final Map<Long, ViewFacts> factsBefore;
  private final Answers asked = new Answers();
  private final Map<Long, ViewFacts> facts = new LinkedHashMap<>();
  private boolean changed;

  private ComparedPictures(ShootPaths shoot, Answers before, Map<Long, ViewFacts> factsBefore) {
    this.shoot = shoot;
    this.before = before;
    this.factsBefore = factsBefore;
  }

  /** Opens what is remembered of a shoot. */
  public static ComparedPictures open(ShootPaths shoot) {
    Answers answers = new Answers();
    Map<Long, ViewFacts> facts = new LinkedHashMap<>();
    try {
      Path file = shoot.resolve(NAME);
      if (Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS) && Files.size(file) <= LARGEST) {
        read(Files.readAllBytes(file), answers, facts);
      }
    } catch (IOException | BufferUnderflowException | IllegalArgumentException e) {
      return new ComparedPictures(shoot, new Answers(), new LinkedHashMap<>());
    }
    return new ComparedPictures(shoot, answers, facts);
  }

  private static void read(byte[] bytes, Answers answers, Map<Long, ViewFacts> facts) {
    int end = bytes.length - Integer.BYTES;
    ByteBuffer in = ByteBuffer.wrap(bytes);
    byte[] magic = new byte[MAGIC.length];
    in.get(magic);
    CRC32C crc = new CRC32C();
    crc.update(bytes, 0, Math.max(0, end));
    if (!Arrays.equals(magic, MAGIC)
        || in.getLong() != PROGRAM
        || in.getInt(end) != (int) crc.getValue()) {
      return;
    }
    for (int question = in.get() & 0xFF; question != END; question = in.get() & 0xFF) {
      long first = in.getLong();
      long second = in.getLong();
      SharedContent found = in.get() == 0 ? null : sharedContent(in);
      answers.put(Question.of(question), first, second, found);
    }
    while (in.position() < end) {
      long picture = in.getLong();
      facts.put(
          picture,
          new ViewFacts(
              in.getDouble(),
              in.getDouble(),
              in.getDouble(),
              in.getDouble(),
              in.getDouble(),
              in.getDouble()));
    }
  }

  private static SharedContent sharedContent(ByteBuffer in) {
    return new SharedContent(
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getInt(),
        in.getInt());
  }

  /** Keeps what was asked for, where it isn't what the file says. */
  public void write() {
    if (!changed && asked.size() == before.size() && facts.size() == factsBefore.size()) {
      return;
    }
    DurableFile.write(
        shoot.resolve(NAME),
        stream -> {
          CheckedOutputStream checked =
              new CheckedOutputStream(new BufferedOutputStream(stream, 1 << 16), new CRC32C());
          DataOutputStream out = new DataOutputStream(checked);
          out.write(MAGIC);
          out.writeLong(PROGRAM);
          asked.write(out);
          out.writeByte(END);
          for (Map.Entry<Long, ViewFacts> f : facts.entrySet()) {
            ViewFacts v = f.getValue();
            out.writeLong(f.getKey());
            out.writeDouble(v.brightness());
            out.writeDouble(v.redGreen());
            out.writeDouble(v.blueGreen());
            out.writeDouble(v.clipped());
            out.writeDouble(v.middle());
            out.writeDouble(v.skin());
          }
          out.writeInt((int) checked.getChecksum().getValue());
          out.flush();
        });
  }

  @Override
  public boolean remembers() {
    return true;
  }

  @Override
  public @Nullable Answer answer(Question question, long first, long second) {
    Answer known = asked.get(question, first, second);
    if (known == null) {
      known = before.get(question, first, second);
      if (known != null) {
        asked.put(question, first, second, known.shared());
      }
    }
    return known;
  }

  @Override
  public void keep(Question question, long first, long second, @Nullable SharedContent found) {
    asked.put(question, first, second, found);
    changed = true;
  }

  @Override
  public @Nullable ViewFacts facts(long picture) {
    ViewFacts known = factsBefore.get(picture);
    if (known != null) {
      facts.put(picture, known);
      return known;
    }
    return facts.get(picture);
  }

  @Override
  public void keep(long picture, ViewFacts found) {
    facts.put(picture, found);
    changed = true;
  }

  /** A number that hangs on the classes that compare pictures. */
  static long program() {
    long number = 1;
    for (String name : CLASSES) {
      CRC32C crc = new CRC32C();
      try (InputStream in =
          Registration.class.getResourceAsStream("/samelight/engine/" + name + ".class")) {
        if (in != null) {
          crc.update(in.readAllBytes());
        }
      } catch (IOException e) {
        return System.nanoTime(); // fits no file
      }
      number = 31 * number + crc.getValue();
    }
    return number;
  }

  /** Answers by question and pictures: a hash table with open addressing, without boxes. */
  private static final class Answers {
    private static final int NOTHING = -1;

    private long[] first = new long[1 << 10];
    private long[] second = new long[1 << 10];

    /** 0: free; else 1 + question + 4 x (1 + place in {@code found}, or 0 for nothing found). */
    private int[] what = new int[1 << 10];

    private final List<SharedContent> found = new ArrayList<>();
    private int size;

    int size() {
      return size;
    }

    private int place(Question question, long a, long b) {
      int mask = what.length - 1;
      int hash = (int) (((a * 31 + b) * 0x9E3779B97F4A7C15L) >>> 32);
      int at = (hash + question.code()) & mask;
      while (what[at] != 0
          && !(first[at] == a && second[at] == b && question(at) == question.code())) {
        at = (at + 1) & mask;
      }
      return at;
    }

    private int question(int at) {
      return (what[at] - 1) & 3;
    }

    private int index(int at) {
      return ((what[at] - 1) >> 2) - 1;
    }

    @Nullable Answer get(Question question, long a, long b) {
      int at = place(question, a, b);
      return what[at] == 0 ? null : new Answer(shared(at));
    }

    private @Nullable SharedContent shared(int at) {
      int index = index(at);
      return index == NOTHING ? null : found.get(index);
    }

    void put(Question question, long a, long b, @Nullable SharedContent shared) {
      int at = place(question, a, b);
      if (what[at] != 0) {
        return;
      }
      if (2 * (size + 1) > what.length) {
        grow();
        at = place(question, a, b);
      }
      if (shared != null) {
        found.add(shared);
      }
      set(at, a, b, question.code(), shared == null ? NOTHING : found.size() - 1);
      size++;
    }

    private void set(int at, long a, long b, int question, int index) {
      first[at] = a;
      second[at] = b;
      what[at] = 1 + question + 4 * (index + 1);
    }

    private void grow() {
      long[] a = first;
      long[] b = second;
      int[] w = what;
      first = new long[2 * a.length];
      second = new long[2 * a.length];
      what = new int[2 * a.length];
      for (int i = 0; i < w.length; i++) {
        if (w[i] != 0) {
          int at = place(Question.of((w[i] - 1) & 3), a[i], b[i]);
          first[at] = a[i];
          second[at] = b[i];
          what[at] = w[i];
        }
      }
    }

    void write(DataOutputStream out) throws IOException {
      for (int at = 0; at < what.length; at++) {
        if (what[at] == 0) {
          continue;
        }
        out.writeByte(question(at));
        out.writeLong(first[at]);
        out.writeLong(second[at]);
        SharedContent s = shared(at);
        out.writeByte(s == null ? 0 : 1);
        if (s != null) {
          out.writeDouble(s.scale());
          out.writeDouble(s.rotation());
          out.writeDouble(s.shiftX());
          out.writeDouble(s.shiftY());
          out.writeDouble(s.gain());
          out.writeDouble(s.gainSigma());
          out.writeDouble(s.redGreen());
          out.writeDouble(s.blueGreen());
          out.writeDouble(s.colourSigma());
          out.writeInt(s.agreeing());
          out.writeInt(s.patches());
        }
      }
    }
  }
}
