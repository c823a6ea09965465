package samelight.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Objects;

/**
 * Measures the review page of a grouped shoot in a real browser, the built launcher serving it: how
 * long from its start to the address, to the first thing that is painted and until decisions can be
 * made; how long decisions take from the click to the page's word, the durable write of the plan
 * included, as the page measures it, each after {@value #LOOK} ms in which a person would look; and
 * how evenly frames come while the page scrolls through. Decisions are undone; still, use a copy of
 * a shoot.
 *
 * <p>{@code mvn -q test-compile exec:java -pl cli -Dexec.classpathScope=test
 * -Dexec.mainClass=samelight.cli.ReviewSpeed -Dexec.args="LAUNCHER SHOOT"}
 */
public final class ReviewSpeed {
  private static final int DECISIONS = 12;

  /** Milliseconds in which a person looks: the group's pictures come meanwhile. */
  private static final int LOOK = 1500;

  /** Scrolls a window's height in 20 frames, again and again, and notes the frames' times. */
  private static final String SCROLL =
      "const done = arguments[arguments.length - 1]; const times = []; let last = 0;"
          + "const end = Math.min(document.documentElement.scrollHeight, 120 * innerHeight);"
          + "const step = now => { if (last) times.push(now - last); last = now;"
          + "scrollBy({top: innerHeight / 20, behavior: 'instant'});"
          + "if (scrollY + innerHeight < end - 2 && times.length < 2400)"
          + " requestAnimationFrame(step);"
          + "else done(times); }; scrollTo({top: 0, behavior: 'instant'});"
          + "requestAnimationFrame(step);";

  private ReviewSpeed() {}

  /** Runs the measurement. */
  public static void main(String[] args) throws IOException, InterruptedException {
    try (Chromium browser = Chromium.start(1280, 1000)) {
      browser.open("about:blank");
      for (int round = 1; round <= 3; round++) {
        round(browser, Path.of(args[0]), Path.of(args[1]), round);
      }
    }
  }

  private static void round(Chromium browser, Path launcher, Path shoot, int round)
      throws IOException, InterruptedException {
    long start = System.nanoTime();
    Process review =
        new ProcessBuilder(launcher.toString(), "review", shoot.toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    try (BufferedReader said =
        new BufferedReader(
            new java.io.InputStreamReader(review.getInputStream(), StandardCharsets.UTF_8))) {
      String address = "";
      while (address.isEmpty()) {
        String line = Objects.requireNonNull(said.readLine(), "no address");
        int at = line.indexOf("http://");
        address = at < 0 ? "" : line.substring(at).strip();
      }
      double told = since(start);
      browser.review(address);
      double ready = since(start);
      double painted =
          Double.parseDouble(
              browser.text(
                  "performance.getEntriesByName('first-contentful-paint')[0].startTime / 1000"));
      System.out.printf(
          "round %d: address after %.2f s, first paint %.2f s later, decisions after %.2f s%n",
          round, told, painted, ready);
      decisions(browser, "first");
      decisions(browser, "warm");
      scrolling(browser);
    } finally {
      review.destroy();
      review.waitFor();
    }
  }

  private static double since(long start) {
    return (System.nanoTime() - start) / 1e9;
  }

  private static void decisions(Chromium browser, String which) throws InterruptedException {
    List<Double> times = new ArrayList<>();
    List<Double> answers = new ArrayList<>();
    for (int i = 0; i < DECISIONS; i++) {
      String key =
          String.valueOf(
              browser.script(
                  "const lots = [...document.querySelectorAll('article.lot')]"
                      + ".filter(l => l.dataset.count > 2);"
                      + "return lots[arguments[0] % lots.length].dataset.key",
                  3 * i));
      browser.until(
          "the group's frames",
          () ->
              Boolean.TRUE.equals(
                  browser.script(
                      "const lot = document.querySelector('[data-key=\"' + arguments[0] + '\"]');"
                          + "const frames = [...lot.querySelectorAll('[data-frames]')];"
                          + "if (lot.dataset.loaded !== 'true' || !frames.length) {"
                          + "lot.scrollIntoView({behavior: 'instant'}); return false; }"
                          + "frames.filter(f => f.id !== 'f' + lot.dataset.reference).at(-1).click(); return true;",
                      key)));
      Thread.sleep(LOOK);
      times.add(took(browser, "reference", "It is the reference now."));
      answers.add(answered(browser));
      Thread.sleep(LOOK);
      times.add(took(browser, "undo", "Undone."));
      answers.add(answered(browser));
    }
    Collections.sort(times);
    Collections.sort(answers);
    System.out.printf(
        "  %d %s decisions: median %.0f ms, worst %.0f ms; of that the answer %.0f and %.0f ms%n",
        times.size(),
        which,
        times.get(times.size() / 2),
        times.get(times.size() - 1),
        answers.get(answers.size() / 2),
        answers.get(answers.size() - 1));
  }

  /** Milliseconds of the server's answer to the last decision. */
  private static double answered(Chromium browser) {
    return Double.parseDouble(
        browser.text(
            "performance.getEntriesByType('resource')"
                + ".filter(e => e.initiatorType === 'fetch' && !e.name.includes('/group/'))"
                + ".at(-1).duration"));
  }

  private static double took(Chromium browser, String what, String says) {
    browser.script(
        "performance.setResourceTimingBufferSize(100000); performance.clearResourceTimings()");
    browser.click("[data-do=" + what + "]");
    browser.says(says);
    return Double.parseDouble(browser.text("document.body.dataset.took"));
  }

  private static void scrolling(Chromium browser) {
    List<Double> times = new ArrayList<>();
    for (Object o : (List<?>) Objects.requireNonNull(browser.later(SCROLL))) {
      times.add(((Number) o).doubleValue());
    }
    Collections.sort(times);
    System.out.printf(
        "  %d frames scrolled: median %.1f ms, 95 %% within %.1f ms, worst %.0f ms%n",
        times.size(),
        times.get(times.size() / 2),
        times.get(times.size() * 95 / 100),
        times.get(times.size() - 1));
  }
}
