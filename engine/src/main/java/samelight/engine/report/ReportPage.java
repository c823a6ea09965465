package samelight.engine.report;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The page's content, in the words in which it is shown; the templates only lay it out. All of it
 * is plain text: escaping is the templates' work.
 *
 * @param title name of the shoot
 * @param lede the shoot in one sentence
 * @param bodies one line for each body
 * @param chapters sections of the day
 * @param account how many files of each kind
 * @param files number of files
 * @param leftOut frames without a recipe or match, by reason
 * @param findings all findings
 */
public record ReportPage(
    String title,
    String lede,
    List<String> bodies,
    List<Chapter> chapters,
    List<Row> account,
    int files,
    List<Row> leftOut,
    List<String> findings) {

  /** One section of the day. */
  public record Chapter(String anchor, String name, String when, List<Lot> lots) {}

  /**
   * One group.
   *
   * @param anchor id of its heading, plain letters and digits
   * @param referenceImage data URI, or null
   * @param eyes frames that need eyes, in order
   * @param sure the others, in order
   * @param notShown frames for which there is no room on the page
   */
  public record Lot(
      String anchor,
      String id,
      String when,
      int count,
      String light,
      String whiteBalance,
      String iso,
      String flash,
      String perBody,
      String spread,
      int doubted,
      String reference,
      boolean graded,
      @Nullable String referenceImage,
      List<Shown> eyes,
      List<Shown> sure,
      int notShown) {}

  /**
   * One frame.
   *
   * @param name path relative to the shoot, with {@code /}
   * @param image data URI, or null
   * @param width pixels of the image
   * @param height pixels of the image
   * @param match lines about its match
   * @param reasons why it needs eyes
   */
  public record Shown(
      String name,
      @Nullable String image,
      int width,
      int height,
      List<String> match,
      List<String> reasons) {
    /** The name without its folders. */
    public String fileName() {
      return name.substring(name.lastIndexOf('/') + 1);
    }

    /** The folders, with a {@code /} at their end, or nothing. */
    public String folder() {
      return name.substring(0, name.lastIndexOf('/') + 1);
    }
  }

  /** One row of an account. */
  public record Row(String what, int count, String more) {}
}
