package samelight.engine.likeness;

import java.util.List;
import java.util.function.Supplier;
import java.util.zip.CRC32;
import java.util.zip.CRC32C;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.SmallImage;
import samelight.engine.likeness.ComparisonMemory.Answer;
import samelight.engine.likeness.ComparisonMemory.Question;
import samelight.engine.photometry.BodyResponse;

/**
 * A picture that may be looked at: its {@link View} is made only where no memory knows the answer.
 */
public final class Look {
  private final SmallImage image;
  private final int orientation;
  private final BodyResponse response;
  private final ComparisonMemory memory;
  private final long picture;
  private @Nullable View view;
  private @Nullable ViewFacts facts;

  /**
   * A look.
   *
   * @param image the image as stored
   * @param orientation Exif Orientation, 1 to 8
   * @param response of the body that rendered it
   * @param memory of what earlier looks showed
   */
  public Look(SmallImage image, int orientation, BodyResponse response, ComparisonMemory memory) {
    this.image = image;
    this.orientation = orientation;
    this.response = response;
    this.memory = memory;
    this.picture = memory.remembers() ? number(image, orientation, response) : 0;
  }

  /** Two checksums of the pixels side by side, mixed with all else that a view hangs on. */
  private static long number(SmallImage image, int orientation, BodyResponse response) {
    byte[] rgb = image.rgb();
    CRC32 a = new CRC32();
    CRC32C b = new CRC32C();
    a.update(rgb);
    b.update(rgb);
    long number = (a.getValue() << 32) | b.getValue();
    number = mix(number ^ (image.width() * 8L + orientation - 1));
    return mix(number ^ response.fingerprint());
  }

  /** Spreads each bit over all (the finaliser of splitmix64, Steele et al. 2014, from memory). */
  private static long mix(long x) {
    long z = x + 0x9E3779B97F4A7C15L;
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }

  private View view() {
    View made = view;
    if (made == null) {
      made = View.of(image, orientation, response);
      view = made;
    }
    return made;
  }

  /** What the picture says by itself. */
  public ViewFacts facts() {
    ViewFacts known = facts;
    if (known == null) {
      known = memory.facts(picture);
      if (known == null) {
        known = ViewFacts.of(view());
        memory.keep(picture, known);
      }
      facts = known;
    }
    return known;
  }

  /** See {@link Registration#sameFraming}; this is the first. */
  public @Nullable SharedContent sameFraming(Look second) {
    return asked(
        Question.SAME_FRAMING, second, () -> Registration.sameFraming(view(), second.view()));
  }

  /** See {@link Registration#of}; this is the first. */
  public @Nullable SharedContent shared(Look second) {
    return asked(Question.SHARED, second, () -> Registration.of(view(), second.view()));
  }

  /** See {@link Registration#again}; this is the first. */
  public SharedContent again(Look second, SharedContent known) {
    SharedContent found =
        asked(Question.AGAIN, second, () -> Registration.again(view(), second.view(), known));
    return found == null ? known : found;
  }

  private @Nullable SharedContent asked(
      Question question, Look second, Supplier<@Nullable SharedContent> compare) {
    Answer answer = memory.answer(question, picture, second.picture);
    if (answer != null) {
      return answer.shared();
    }
    SharedContent found = compare.get();
    memory.keep(question, picture, second.picture, found);
    return found;
  }

  /** See {@link Registration#levels}; this is the first. */
  public List<double[]> levels(Look second, SharedContent shared) {
    return Registration.levels(view(), second.view(), shared);
  }

  /** One framing under bands. */
  public record Banded(SharedContent shared, double amplitude) {}

  /**
   * Whether a picture is of the same framing but for bands, of which {@link #sameFraming} may know
   * nothing; see {@link Bands}. This is the first. No memory is asked, since few pictures are.
   *
   * @return what they share without the bands, and their amplitude in stops, or null where there
   *     are no bands
   */
  public @Nullable Banded banded(Look second) {
    View a = view();
    View b = second.view();
    boolean turned = orientation >= 5;
    int[] shift = {0, 0};
    Bands.Fit bands = Bands.between(a, b, shift, turned);
    if (bands.amplitude() == 0 && a.width == b.width && a.height == b.height) {
      CoarseSearch.Peak p = CoarseSearch.sameSize(a, b);
      shift = new int[] {(int) Math.rint(p.x()), (int) Math.rint(p.y())};
      bands = Bands.between(a, b, shift, turned);
    }
    if (bands.amplitude() == 0) {
      return null;
    }
    SharedContent shared = Registration.sameFraming(a, b.without(bands, turned));
    return shared == null ? null : new Banded(shared, bands.amplitude());
  }

  /** Lets go of what was made for comparison. */
  public void release() {
    View made = view;
    if (made != null) {
      made.release();
    }
  }
}
