package samelight.engine.metadata;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import samelight.engine.files.ContentHash;

/**
 * What the files of a shoot are, in one number: it stays the same as long as each has the name, the
 * size, the time and the head that it had, and none came or went. What lies in the folder {@code
 * samelight} at the shoot's top doesn't count.
 */
public final class ShootState {
  private ShootState() {}

  /**
   * The state of a shoot; of each file at most the first 4,096 bytes are read.
   *
   * @param shoot an existing folder
   * @return 64 hexadecimal digits
   * @throws IOException if it can't be listed
   */
  public static String of(Path shoot) throws IOException {
    ShootFiles.Listing listing = ShootFiles.list(shoot.toRealPath());
    List<ShootFiles.Candidate> files = new ArrayList<>(listing.candidates());
    files.addAll(listing.others());
    MessageDigest digest = ContentHash.digest();
    files.parallelStream().map(ShootState::line).forEachOrdered(line -> add(digest, line));
    Stream.concat(
            listing.files().entrySet().stream().map(e -> e.getKey() + '\0' + e.getValue()),
            listing.findings().stream().map(f -> f.file() + '\0' + f.actual()))
        .forEach(line -> add(digest, line));
    return HexFormat.of().formatHex(digest.digest());
  }

  private static String line(ShootFiles.Candidate file) {
    String head;
    try {
      head = HeadHash.stamp(file.path(), file.size(), file.modifiedMillis()).headHash();
    } catch (IOException e) {
      head = FrameReader.describe(e);
    }
    return file.name() + '\0' + file.size() + '\0' + file.modifiedMillis() + '\0' + head;
  }

  private static void add(MessageDigest digest, String line) {
    digest.update((line + '\0' + '\n').getBytes(StandardCharsets.UTF_8));
  }
}
