package samelight.engine.metadata;

import com.drew.imaging.tiff.TiffHandler;
import com.drew.imaging.tiff.TiffProcessingException;
import com.drew.imaging.tiff.TiffReader;
import com.drew.lang.RandomAccessReader;
import com.drew.lang.Rational;
import com.drew.metadata.StringValue;
import java.io.IOException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Takes what is wanted from the library's walk over TIFF directories, and keeps that walk within
 * bounds: number of directories, their depth, the bytes of a value, and the file's {@link Budget}.
 */
final class TagCollector implements TiffHandler {
  static final int SUB_IFDS = 0x014A;
  static final int EXIF_IFD = 0x8769;
  static final int MAKER_NOTE = 0x927C;
  static final int XMP = 0x02BC;
  static final int DNG_PRIVATE = 0xC634;

  private static final int MAX_DIRECTORIES = 64;
  private static final int MAX_CHAIN = 16;
  private static final int MAX_DEPTH = 6;
  private static final int MAX_VALUE = 1 << 16;
  private static final int MAX_PROBLEMS = 20;
  private static final byte[] NOTHING = {};

  /** Of values beyond this only the place is kept: tables, previews, notes. */
  private static final int SMALL_VALUE = 1024;

  private final SourceReader reader;
  private final List<Directory> directories = new ArrayList<>();
  private final List<String> problems = new ArrayList<>();
  private final Deque<Directory> open = new ArrayDeque<>();
  private final int[] children;
  private int subs;
  private int marker;
  private @Nullable Directory current;
  private int ofOffsets = -1;
  private long lowestValue = Long.MAX_VALUE;

  private TagCollector(SourceReader reader, Directory first, int... children) {
    this.reader = reader;
    this.children = children;
    enter(first);
  }

  /** Reads a TIFF stream that starts at the reader's index 0. */
  static TagCollector tiff(SourceReader reader) throws IOException {
    return tiff(reader, new Directory(Directory.Kind.MAIN, 0));
  }

  /** Reads a TIFF stream whose first directory is {@code first}. */
  static TagCollector tiff(SourceReader reader, Directory first) throws IOException {
    TagCollector c = new TagCollector(reader, first, SUB_IFDS, EXIF_IFD);
    try {
      new TiffReader().processTiff(reader, c, 0);
    } catch (TiffProcessingException e) {
      c.problem(String.valueOf(e.getMessage()));
    }
    return c;
  }

  /**
   * Reads one directory, and those it points to.
   *
   * @param children tags that point to further directories
   */
  static TagCollector directory(
      SourceReader reader, int ifdOffset, Directory first, int... children) throws IOException {
    TagCollector c = new TagCollector(reader, first, children);
    TiffReader.processIfd(c, reader, new HashSet<>(), ifdOffset, 0);
    return c;
  }

  List<Directory> directories() {
    return directories;
  }

  /** What was wrong, in words. */
  List<String> problems() {
    return problems;
  }

  /** The lowest place, as the reader counts, of a value outside the first directory itself. */
  long lowestValue() {
    return lowestValue;
  }

  /** The word after the byte order: 42, or a maker's own. */
  int marker() {
    return marker;
  }

  private void problem(String what) {
    if (problems.size() < MAX_PROBLEMS) {
      problems.add(what);
    }
  }

  private void enter(Directory d) {
    open.push(d);
    current = d;
    ofOffsets = -1;
    directories.add(d);
  }

  private boolean full() {
    if (directories.size() >= MAX_DIRECTORIES) {
      problem("more than " + MAX_DIRECTORIES + " directories");
      return true;
    }
    return false;
  }

  @Override
  public void setTiffMarker(int tiffMarker) {
    marker = tiffMarker;
  }

  // The library calls processIfd exactly once after each true, and endingIFD at its end.
  @Override
  public boolean tryEnterSubIfd(int tagId) {
    reader.source().budget().step();
    for (int child : children) {
      if (child == tagId) {
        return enterChild(tagId);
      }
    }
    return false;
  }

  private boolean enterChild(int tagId) {
    if (open.size() >= MAX_DEPTH || full()) {
      return false;
    }
    boolean other = current != null && current.kind() == Directory.Kind.OTHER;
    enter(
        switch (tagId) {
          case SUB_IFDS -> new Directory(Directory.Kind.SUB, subs++);
          case EXIF_IFD -> new Directory(Directory.Kind.EXIF, 0);
          default -> new Directory(other ? Directory.Kind.OTHER : Directory.Kind.MAKER_SUB, tagId);
        });
    return true;
  }

  @Override
  public boolean hasFollowerIfd() {
    Directory d = current;
    if (d == null || d.kind() != Directory.Kind.MAIN || d.index() + 1 >= MAX_CHAIN || full()) {
      return false;
    }
    enter(new Directory(Directory.Kind.MAIN, d.index() + 1));
    return true;
  }

  @Override
  public void endingIFD() {
    open.poll();
    current = open.peek();
  }

  @Override
  public @Nullable Long tryCustomProcessFormat(int tagId, int formatCode, long componentCount) {
    // Type 13 is a 32-bit offset of a directory (TIFF technical note 1, 1995).
    ofOffsets = formatCode == 13 ? tagId : -1;
    return formatCode == 13 ? Long.valueOf(componentCount * 4) : null;
  }

  @Override
  public boolean customProcessTag(
      int tagOffset,
      Set<Integer> processedIfdOffsets,
      int tiffHeaderOffset,
      RandomAccessReader unused,
      int tagId,
      int byteCount)
      throws IOException {
    reader.source().budget().step();
    if (byteCount > 4 && tagOffset < lowestValue && open.size() == 1) {
      lowestValue = tagOffset;
    }
    Directory d = current;
    if (d == null) {
      return true;
    }
    if (tagId == ofOffsets) {
      // The library says that this is odd.
      return false;
    }
    if (!d.wants(tagId)) {
      d.pass();
      return true;
    }
    int type = reader.lastWord();
    if (byteCount == 0 && (type == TagValue.RATIONAL || type == TagValue.SIGNED_RATIONAL)) {
      return true;
    }
    boolean small = byteCount <= (d.kind().ofPicture() ? SMALL_VALUE : MAX_VALUE);
    byte[] data = small ? reader.getBytes(tagOffset, byteCount) : NOTHING;
    boolean big = reader.isMotorolaByteOrder();
    d.put(tagId, new TagValue(reader.base() + tagOffset, byteCount, type, big, data), big);
    return true;
  }

  @Override
  public void warn(String message) {
    problem(message);
  }

  @Override
  public void error(String message) {
    problem(message);
  }

  // Values are taken before the library makes them.
  @Override
  public void setByteArray(int tagId, byte[] bytes) {}

  @Override
  public void setString(int tagId, StringValue string) {}

  @Override
  public void setRational(int tagId, Rational rational) {}

  @Override
  public void setRationalArray(int tagId, Rational[] array) {}

  @Override
  public void setFloat(int tagId, float float32) {}

  @Override
  public void setFloatArray(int tagId, float[] array) {}

  @Override
  public void setDouble(int tagId, double double64) {}

  @Override
  public void setDoubleArray(int tagId, double[] array) {}

  @Override
  public void setInt8s(int tagId, byte int8s) {}

  @Override
  public void setInt8sArray(int tagId, byte[] array) {}

  @Override
  public void setInt8u(int tagId, short int8u) {}

  @Override
  public void setInt8uArray(int tagId, short[] array) {}

  @Override
  public void setInt16s(int tagId, int int16s) {}

  @Override
  public void setInt16sArray(int tagId, short[] array) {}

  @Override
  public void setInt16u(int tagId, int int16u) {}

  @Override
  public void setInt16uArray(int tagId, int[] array) {}

  @Override
  public void setInt32s(int tagId, int int32s) {}

  @Override
  public void setInt32sArray(int tagId, int[] array) {}

  @Override
  public void setInt32u(int tagId, long int32u) {}

  @Override
  public void setInt32uArray(int tagId, long[] array) {}

  @Override
  public void setInt64s(int tagId, long int64s) {}

  @Override
  public void setInt64sArray(int tagId, long[] array) {}

  @Override
  public void setInt64u(int tagId, long int64u) {}

  @Override
  public void setInt64uArray(int tagId, long[] array) {}
}
