package samelight.engine.files;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.OpenOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFileAttributes;
import org.jspecify.annotations.Nullable;

/** The machine's own file system. */
final class RealDisk implements Disk {
  private static final int BUFFER = 1 << 16;

  @Override
  public void writeNew(Path file, byte[] bytes, @Nullable Path like) throws IOException {
    writeNew(file, (DurableFile.Content) out -> out.write(bytes), like);
  }

  /** As {@link #writeNew(Path, byte[], Path)}, with bytes that come piece by piece. */
  void writeNew(Path file, DurableFile.Content content, @Nullable Path like) throws IOException {
    try (FileChannel channel =
        FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      if (like != null) {
        copyAccess(like, file);
      }
      OutputStream out = new BufferedOutputStream(Channels.newOutputStream(channel), BUFFER);
      content.writeTo(out);
      out.flush();
      channel.force(true);
    }
  }

  @Override
  public void append(Path file, byte[] bytes) throws IOException {
    OpenOption[] options = {StandardOpenOption.CREATE, StandardOpenOption.APPEND};
    try (FileChannel channel = FileChannel.open(file, options)) {
      writeAll(channel, bytes);
      channel.force(true);
    }
  }

  @Override
  public void rename(Path source, Path target) throws IOException {
    Files.move(source, target, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
  }

  @Override
  public void delete(Path file) throws IOException {
    Files.delete(file);
  }

  @Override
  public void makeFolders(Path folder) throws IOException {
    Files.createDirectories(folder);
  }

  @Override
  public void forceFolder(Path folder) throws IOException {
    FileChannel channel;
    try {
      channel = FileChannel.open(folder, StandardOpenOption.READ);
    } catch (AccessDeniedException e) {
      return; // a system that can't open folders orders renames itself
    } catch (IOException e) {
      if (Files.isDirectory(folder)) {
        return;
      }
      throw e;
    }
    try (channel) {
      channel.force(true);
    } catch (IOException e) {
      if (!Files.isDirectory(folder)) {
        throw e;
      }
      // some network file systems refuse to force a folder: the file itself is safe
    }
  }

  private static void writeAll(FileChannel channel, byte[] bytes) throws IOException {
    ByteBuffer buffer = ByteBuffer.wrap(bytes);
    while (buffer.hasRemaining()) {
      channel.write(buffer);
    }
  }

  private static void copyAccess(Path from, Path to) throws IOException {
    PosixFileAttributeView source = Files.getFileAttributeView(from, PosixFileAttributeView.class);
    PosixFileAttributeView target = Files.getFileAttributeView(to, PosixFileAttributeView.class);
    if (source == null || target == null) {
      return; // no owner and permissions of that kind here
    }
    PosixFileAttributes wanted = source.readAttributes();
    PosixFileAttributes actual = target.readAttributes();
    try {
      if (!wanted.group().equals(actual.group())) {
        target.setGroup(wanted.group());
      }
      if (!wanted.owner().equals(actual.owner())) {
        target.setOwner(wanted.owner());
      }
    } catch (IOException e) {
      // only an administrator may give files away; the content matters more than the owner
    }
    if (!wanted.permissions().equals(actual.permissions())) {
      target.setPermissions(wanted.permissions());
    }
  }
}
