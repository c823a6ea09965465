package samelight.engine.report;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The page's content, in the words in which it is shown; the templates only lay it out. All of it
 * is plain text: escaping is the templates' work.
 *
 * @param title name of the shoot
 * @param lede the shoot in one sentence
 * @param day the time line
 * @param chapters sections of the day
 * @param keepers what the keepers propose, or null before they were asked
 * @param account how many files of each kind
 * @param files number of files
 * @param leftOut frames without a recipe or match, by reason
 * @param findings all findings
 * @param live whether decisions can be made on the page
 * @param style the style sheet that stands in the page; empty where it is live
 */
public record ReportPage(
    String title,
    String lede,
    TimeLine day,
    List<Chapter> chapters,
    @Nullable KeepersChapter keepers,
    List<Row> account,
    int files,
    List<Row> leftOut,
    List<String> findings,
    boolean live,
    String style) {

  /** Copies its lists. */
  public ReportPage {
    chapters = List.copyOf(chapters);
    account = List.copyOf(account);
    leftOut = List.copyOf(leftOut);
    findings = List.copyOf(findings);
  }

  /**
   * One section of the day.
   *
   * @param frame id of a frame of it, -1 where it has none
   */
  public record Chapter(String anchor, String name, String when, int frame, List<Lot> lots) {}

  /** A picture: where it is, and its size in pixels. */
  public record Picture(String src, int width, int height) {}

  /**
   * One group.
   *
   * @param anchor id of its heading, plain letters and digits
   * @param key changes whenever the group does
   * @param light in words and numbers
   * @param facts names of facts and the facts; none where the frames aren't here
   * @param grade the stated grade, or that there is none
   * @param ev the stated grade's stops, or empty
   * @param kelvin the stated grade's colour temperature, or empty
   * @param eyes framings with frames that need eyes, in order
   * @param sure the other frames, in order
   * @param notShown frames for which there is no room on the page
   * @param loaded whether the frames are here, or are fetched when they come into sight
   */
  public record Lot(
      String anchor,
      String id,
      String key,
      String when,
      int count,
      String light,
      String whiteBalance,
      String spread,
      List<Fact> facts,
      int doubted,
      Shown reference,
      boolean graded,
      String grade,
      String ev,
      String kelvin,
      List<Shown> eyes,
      List<Shown> sure,
      int notShown,
      boolean loaded) {
    /** Copies its lists. */
    public Lot {
      facts = List.copyOf(facts);
      eyes = List.copyOf(eyes);
      sure = List.copyOf(sure);
    }
  }

  /** A fact with its name. */
  public record Fact(String name, String value) {}

  /**
   * One frame, or several of one framing.
   *
   * @param id number of the frame in the shoot
   * @param ids numbers of all frames that stand here, with commas
   * @param name path relative to the shoot, with {@code /}
   * @param shot as shot, or null
   * @param matched with match and grade, or null where that changes nothing
   * @param match lines about its match
   * @param reasons why it needs eyes
   * @param keeping what the keepers propose for it; empty where nothing was to be chosen
   * @param also the other frames that stand here
   */
  public record Shown(
      int id,
      String ids,
      String name,
      @Nullable Picture shot,
      @Nullable Picture matched,
      List<String> match,
      List<String> reasons,
      List<String> keeping,
      List<Also> also) {
    /** Copies its lists. */
    public Shown {
      match = List.copyOf(match);
      reasons = List.copyOf(reasons);
      keeping = List.copyOf(keeping);
      also = List.copyOf(also);
    }

    /** The name without its folders. */
    public String fileName() {
      return name.substring(name.lastIndexOf('/') + 1);
    }

    /** The folders, with a {@code /} at their end, or nothing. */
    public String folder() {
      return name.substring(0, name.lastIndexOf('/') + 1);
    }
  }

  /** Another frame of a framing: its number, its name and its match. */
  public record Also(int id, String name, String match) {}

  /** One row of an account. */
  public record Row(String what, int count, String more) {}
}
