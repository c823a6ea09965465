package samelight.engine.delivery;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.drew.imaging.ImageMetadataReader;
import com.drew.metadata.Metadata;
import com.drew.metadata.exif.ExifIFD0Directory;
import com.drew.metadata.exif.ExifSubIFDDirectory;
import com.drew.metadata.exif.GpsDirectory;
import com.drew.metadata.icc.IccDirectory;
import com.drew.metadata.xmp.XmpDirectory;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.files.ContentHash;

class PictureCopyTest {
  private static final LocalDateTime TAKEN = LocalDateTime.of(2027, 6, 12, 10, 4, 7, 250_000_000);
  private static final String SECRET = "SECRET-4711";

  @TempDir Path folder;

  /** Everything that an export may carry, with a secret in each. */
  private static byte[] loaded(boolean grey, boolean progressive, boolean profile) {
    byte[] jpeg = Jpegs.encode(Jpegs.picture(120, 90, grey, 3), 0.9f, progressive);
    ExifTags own = ExifTags.none();
    byte[] exif = own.reduced(LocalDateTime.of(2027, 6, 12, 10, 0), "(c) before", 120, 90, 1);
    String xmp =
        "<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF"
            + " xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description"
            + " xmlns:dc='http://purl.org/dc/elements/1.1/' xmlns:e='http://e.example/' e:serial='"
            + SECRET
            + "'><dc:rights><rdf:Alt><rdf:li xml:lang='x-default'>Rights &amp; © here</rdf:li>"
            + "</rdf:Alt></dc:rights></rdf:Description></rdf:RDF></x:xmpmeta>";
    byte[] with =
        Jpegs.with(
            jpeg,
            Jpegs.segment(0xE1, "", exif),
            Jpegs.segment(0xE1, XmpRights.SIGNATURE, xmp.getBytes(StandardCharsets.UTF_8)),
            Jpegs.segment(0xED, "Photoshop 3.0\0", SECRET.getBytes(StandardCharsets.UTF_8)),
            Jpegs.segment(0xE2, "MPF\0", SECRET.getBytes(StandardCharsets.UTF_8)),
            Jpegs.segment(0xFE, "", SECRET.getBytes(StandardCharsets.UTF_8)),
            Jpegs.segment(0xE7, "", SECRET.getBytes(StandardCharsets.UTF_8)),
            profile ? Jpegs.profile() : new byte[0]);
    byte[] trailer = SECRET.getBytes(StandardCharsets.UTF_8);
    byte[] out = Arrays.copyOf(with, with.length + trailer.length);
    System.arraycopy(trailer, 0, out, with.length, trailer.length);
    return out;
  }

  private byte[] copy(byte[] export, DeliverRequest.Options options) throws IOException {
    Path from = Files.write(folder.resolve("from.jpg"), export);
    Path to = folder.resolve("to.jpg");
    Files.deleteIfExists(to);
    ExportHead head = ExportHead.read("from.jpg", from);
    GalleryEntry entry =
        new GalleryEntry("A.DNG", head, "Day", "01 Day/0001.jpg", 1, "", true, 0, TAKEN);
    PictureCopy.Copied copied = PictureCopy.copy(from, to, entry, options);
    assertThat(copied.sha256()).isEqualTo(ContentHash.of(to));
    assertThat(Files.readAllBytes(from)).isEqualTo(export);
    return Files.readAllBytes(to);
  }

  private static DeliverRequest.Options options(boolean strip, String copyright, boolean embed) {
    return new DeliverRequest.Options(
        false, strip, copyright, embed, 0, 0, 0, List.of(), java.util.Set.of(), false, 0);
  }

  @ParameterizedTest
  @CsvSource({"false,false", "false,true", "true,false", "true,true"})
  void copy_keepsEveryPixelAndNoSecret(boolean grey, boolean progressive) throws Exception {
    byte[] export = loaded(grey, progressive, true);

    byte[] copy = copy(export, options(true, "", false));

    assertThat(Jpegs.pixels(copy)).isEqualTo(Jpegs.pixels(export));
    assertThat(new String(copy, StandardCharsets.ISO_8859_1)).doesNotContain(SECRET);
    Metadata read =
        ImageMetadataReader.readMetadata(Files.newInputStream(folder.resolve("to.jpg")));
    ExifIFD0Directory first = read.getFirstDirectoryOfType(ExifIFD0Directory.class);
    assertThat(Objects.requireNonNull(first).getString(ExifIFD0Directory.TAG_COPYRIGHT))
        .isEqualTo("Rights & © here");
    ExifSubIFDDirectory exif = read.getFirstDirectoryOfType(ExifSubIFDDirectory.class);
    assertThat(Objects.requireNonNull(exif).getString(ExifSubIFDDirectory.TAG_DATETIME_ORIGINAL))
        .isEqualTo("2027:06:12 10:04:07");
    assertThat(exif.getString(ExifSubIFDDirectory.TAG_SUBSECOND_TIME_ORIGINAL)).isEqualTo("250");
    assertThat(read.getFirstDirectoryOfType(GpsDirectory.class)).isNull();
    assertThat(read.getFirstDirectoryOfType(IccDirectory.class)).isNotNull();
    XmpDirectory xmp = read.getFirstDirectoryOfType(XmpDirectory.class);
    assertThat(Objects.requireNonNull(xmp).getXmpProperties().values()).contains("Rights & © here");
    for (var d : read.getDirectories()) {
      assertThat(d.getErrors()).as(d.getName()).isEmpty();
    }
  }

  @Test
  void copyright_isSetWhereAsked() throws IOException {
    byte[] copy = copy(loaded(false, false, true), options(true, "© Ä <b> 2027", false));

    Path file = Files.write(folder.resolve("set.jpg"), copy);
    assertThat(ExportHead.read("set.jpg", file).copyright()).isEqualTo("© Ä <b> 2027");
  }

  @Test
  void profile_isEmbeddedOnRequestOnly() throws IOException {
    byte[] export = loaded(false, false, false);
    byte[] without = copy(export, options(true, "", false));
    assertThat(profile(without).kind()).isEqualTo(ColourProfile.Kind.NONE);

    for (boolean strip : new boolean[] {true, false}) {
      byte[] with = copy(export, options(strip, "", true));
      assertThat(profile(with).kind()).isEqualTo(ColourProfile.Kind.SRGB);
      assertThat(Jpegs.pixels(with)).isEqualTo(Jpegs.pixels(export));
    }
    assertThat(profile(Jpegs.with(export, Jpegs.profile())).kind())
        .isEqualTo(ColourProfile.Kind.SRGB);
  }

  private static ColourProfile profile(byte[] jpeg) throws IOException {
    return ColourProfile.of(JpegStream.whole(jpeg, jpeg.length));
  }

  @Test
  void notPrivate_isTheSameFile() throws IOException {
    byte[] export = loaded(false, true, true);
    assertThat(copy(export, options(false, "", false))).isEqualTo(export);
  }

  /** Wherever a JPEG is cut, it is refused, by its head and tail or by the walk through it. */
  @Test
  void cutAnywhere_isRefused() throws IOException {
    byte[] whole = Jpegs.with(Jpegs.encode(Jpegs.picture(64, 48, false, 1), 0.8f, true));
    int end = JpegStream.whole(whole, whole.length).end();
    assertThat(end).isEqualTo(whole.length);
    for (int length = 0; length < whole.length; length++) {
      int cut = length;
      assertThatThrownBy(() -> JpegStream.whole(whole, cut)).isInstanceOf(IOException.class);
      if (length % 37 == 0) {
        Path file = Files.write(folder.resolve("cut.jpg"), Arrays.copyOf(whole, length));
        assertThat(ExportHead.read("cut.jpg", file).damage()).as("at " + length).isNotNull();
      }
    }
  }

  @Test
  void anyBytes_areUnderstoodOrRefused() {
    Random random = new Random(5);
    byte[] good = loaded(false, false, true);
    for (int i = 0; i < 3_000; i++) {
      byte[] bad = good.clone();
      for (int n = 0; n <= i % 4; n++) {
        bad[random.nextInt(Math.min(bad.length, 9_000))] = (byte) random.nextInt(256);
      }
      try {
        JpegStream jpeg = JpegStream.whole(bad, bad.length);
        ColourProfile.of(jpeg);
        JpegQuality.of(jpeg.lumaTable());
        ExportHead.exif(jpeg).reduced(null, "x", 1, 1, 1);
      } catch (IOException refused) {
        assertThat(refused.getMessage()).isNotBlank();
      }
    }
  }

  /** The quality that libjpeg's own scale gave (javax.imageio writes with its tables). */
  @Test
  void quality_isTheEncoders() throws IOException {
    for (int q = 10; q <= 100; q += 5) {
      byte[] jpeg = Jpegs.encode(Jpegs.picture(32, 32, false, 1), q / 100f, false);
      int found = JpegQuality.of(JpegStream.whole(jpeg, jpeg.length).lumaTable());
      assertThat(found).as("quality " + q).isBetween(q - 1, q + 1);
    }
  }

  /** ICC profiles of the Java platform: sRGB is told from a linear one and from grey. */
  @Test
  void profiles_areToldByTheirNumbers() {
    assertThat(ColourProfile.of(Jpegs.SRGB).kind()).isEqualTo(ColourProfile.Kind.SRGB);
    for (int space :
        new int[] {
          java.awt.color.ColorSpace.CS_LINEAR_RGB,
          java.awt.color.ColorSpace.CS_PYCC,
          java.awt.color.ColorSpace.CS_CIEXYZ
        }) {
      byte[] profile = java.awt.color.ICC_Profile.getInstance(space).getData();
      assertThat(ColourProfile.of(profile).kind()).isEqualTo(ColourProfile.Kind.OTHER);
    }
  }

  /** The written Exif and XMP by exiftool, which shares no code with this project. */
  @Test
  void copy_isReadByExiftoolWithoutComplaint() throws Exception {
    Path exiftool = Path.of("/usr/bin/exiftool");
    assumeTrue(Files.isExecutable(exiftool), "no exiftool on this machine: skipped");
    copy(loaded(false, false, true), options(true, "© Studio", false));

    Process p =
        new ProcessBuilder(
                exiftool.toString(),
                "-validate",
                "-warning",
                "-a",
                "-s",
                "-copyright",
                "-rights",
                "-datetimeoriginal",
                "-gps*",
                "-serialnumber",
                "-makernotes*",
                "-profiledescription",
                folder.resolve("to.jpg").toString())
            .redirectErrorStream(true)
            .start();
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    p.getInputStream().transferTo(out);
    p.waitFor();
    String said = out.toString(StandardCharsets.UTF_8);
    assertThat(said)
        .contains("OK")
        .contains("© Studio")
        .contains("2027:06:12 10:04:07")
        .contains("sRGB")
        .doesNotContain("GPS")
        .doesNotContain("Serial");
  }
}
