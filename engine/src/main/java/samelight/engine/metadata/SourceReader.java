package samelight.engine.metadata;

import com.drew.lang.BufferBoundsException;
import com.drew.lang.RandomAccessReader;
import java.io.IOException;

/** A window of a {@link ByteSource} as the library's reader; index 0 is the window's start. */
final class SourceReader extends RandomAccessReader {
  private final ByteSource source;
  private final long base;
  private final long length;
  private int lastWord;

  /**
   * Opens a window.
   *
   * @param base where index 0 lies in the file
   * @param length bytes of the window; cut at the end of the file
   */
  SourceReader(ByteSource source, long base, long length) {
    this.source = source;
    this.base = base;
    this.length = Math.max(0, Math.min(length, source.length() - base));
  }

  long base() {
    return base;
  }

  ByteSource source() {
    return source;
  }

  /** The last number of two bytes that was read: of an entry that the library reads, its type. */
  int lastWord() {
    return lastWord;
  }

  /** The same file from another place, up to the same end, in the same byte order. */
  SourceReader from(long newBase) {
    SourceReader r = new SourceReader(source, newBase, base + length - newBase);
    r.setMotorolaByteOrder(isMotorolaByteOrder());
    return r;
  }

  @Override
  public int toUnshiftedOffset(int localOffset) {
    return (int) Math.min(Integer.MAX_VALUE, base + localOffset);
  }

  @Override
  public byte getByte(int index) throws IOException {
    if (index < 0 || index >= length) {
      throw new BufferBoundsException("byte " + index + " of " + length);
    }
    return (byte) source.u8(base + index);
  }

  // The library puts numbers together byte by byte, each with its checks.
  @Override
  public int getUInt16(int index) throws IOException {
    validateIndex(index, 2);
    lastWord = source.u16(base + index, isMotorolaByteOrder());
    return lastWord;
  }

  @Override
  public short getInt16(int index) throws IOException {
    return (short) getUInt16(index);
  }

  @Override
  public int getInt32(int index) throws IOException {
    validateIndex(index, 4);
    return source.i32(base + index, isMotorolaByteOrder());
  }

  @Override
  public long getUInt32(int index) throws IOException {
    return getInt32(index) & 0xFFFF_FFFFL;
  }

  @Override
  public byte[] getBytes(int index, int count) throws IOException {
    validateIndex(index, count);
    return source.get(base + index, count);
  }

  @Override
  protected void validateIndex(int index, int bytesRequested) throws IOException {
    if (!isValidIndex(index, bytesRequested)) {
      throw new BufferBoundsException(bytesRequested + " bytes at " + index + " of " + length);
    }
  }

  @Override
  protected boolean isValidIndex(int index, int bytesRequested) {
    return index >= 0 && bytesRequested >= 0 && (long) index + bytesRequested <= length;
  }

  @Override
  public long getLength() {
    return length;
  }
}
