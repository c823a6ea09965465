package samelight.cli;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.openqa.selenium.By;
import org.openqa.selenium.JavascriptExecutor;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.interactions.Actions;

/** A real browser without a window; looked for where Linux distributions install it. */
final class Chromium implements AutoCloseable {
  /** How to have the browser, for the message of a skipped test. */
  static final String HOW =
      "no chromium with its driver on this machine: these tests are skipped. On Debian or Ubuntu"
          + " `apt-get install chromium chromium-driver` has them run.";

  private static final Duration PATIENCE = Duration.ofSeconds(40);

  private final ChromeDriver driver;
  private final Path profile;

  private Chromium(ChromeDriver driver, Path profile) {
    this.driver = driver;
    this.profile = profile;
  }

  private static Optional<Path> installed(String... names) {
    return Stream.of(names).map(Path::of).filter(Files::isExecutable).findFirst();
  }

  static boolean available() {
    return browser().isPresent() && service().isPresent();
  }

  private static Optional<Path> browser() {
    return installed("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome");
  }

  private static Optional<Path> service() {
    return installed("/usr/bin/chromedriver", "/usr/lib/chromium-browser/chromedriver");
  }

  /**
   * Starts one.
   *
   * @param options further options
   */
  static Chromium start(int width, int height, String... options) throws java.io.IOException {
    Path profile = Files.createTempDirectory("samelight-browser-");
    ChromeOptions how = new ChromeOptions();
    how.setBinary(browser().orElseThrow().toFile());
    how.addArguments(
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-dev-shm-usage",
        "--user-data-dir=" + profile,
        "--window-size=" + width + "," + height);
    how.addArguments(options);
    ChromeDriverService driver =
        new ChromeDriverService.Builder()
            .usingDriverExecutable(service().orElseThrow().toFile())
            .usingAnyFreePort()
            .build();
    ChromeDriver started = new ChromeDriver(driver, how);
    // a second window has no focus unless told so
    started.executeCdpCommand(
        "Emulation.setFocusEmulationEnabled", java.util.Map.of("enabled", true));
    return new Chromium(started, profile);
  }

  /** Has the page believe in a screen of this size. */
  void device(int width, int height) {
    driver.executeCdpCommand(
        "Emulation.setDeviceMetricsOverride",
        java.util.Map.of("width", width, "height", height, "deviceScaleFactor", 2, "mobile", true));
  }

  /** Takes a picture of what is seen. */
  void picture(Path to) throws java.io.IOException {
    Files.write(to, driver.getScreenshotAs(org.openqa.selenium.OutputType.BYTES));
  }

  void open(String address) {
    driver.get(address);
  }

  /** Opens the review page and waits until decisions can be made. */
  void review(String address) {
    open(address);
    until("ready", () -> "true".equals(script("return document.body.dataset.ready")));
  }

  @Nullable Object script(String code, Object... arguments) {
    return ((JavascriptExecutor) driver).executeScript(code, arguments);
  }

  /** Runs code that calls its last argument with the result. */
  @Nullable Object later(String code) {
    driver.manage().timeouts().scriptTimeout(Duration.ofMinutes(2));
    return ((JavascriptExecutor) driver).executeAsyncScript(code);
  }

  String text(String code) {
    return String.valueOf(script("return " + code));
  }

  WebElement one(String selector) {
    return driver.findElement(By.cssSelector(selector));
  }

  List<WebElement> all(String selector) {
    return driver.findElements(By.cssSelector(selector));
  }

  void click(String selector) {
    script("document.querySelector(arguments[0]).click()", selector);
  }

  /** Types keys to whatever has the focus. */
  void type(CharSequence... keys) {
    new Actions(driver).sendKeys(keys).perform();
  }

  void control(String key) {
    new Actions(driver).keyDown(Keys.CONTROL).sendKeys(key).keyUp(Keys.CONTROL).perform();
  }

  /** Waits for something to become so. */
  void until(String what, Supplier<Boolean> so) {
    long end = System.nanoTime() + PATIENCE.toNanos();
    while (!Boolean.TRUE.equals(so.get())) {
      if (System.nanoTime() > end) {
        throw new AssertionError(
            "waited in vain: "
                + what
                + "; the page says: "
                + text("document.querySelector('#told')?.textContent"));
      }
      try {
        Thread.sleep(30);
      } catch (InterruptedException e) {
        throw new IllegalStateException(e);
      }
    }
  }

  /** Waits until the page says something. */
  void says(String part) {
    until(
        "says \"" + part + "\"",
        () -> text("document.querySelector('#told').textContent").contains(part));
  }

  /** Runs axe-core over the page; what it finds wrong, one a line. */
  String wrongByAxe() throws java.io.IOException {
    try (var in =
        Objects.requireNonNull(Chromium.class.getClassLoader().getResourceAsStream("axe.min.js"))) {
      script(new String(in.readAllBytes(), java.nio.charset.StandardCharsets.UTF_8));
    }
    return String.valueOf(
        later(
            "const done = arguments[arguments.length - 1];"
                + "axe.run(document, {resultTypes: ['violations']}).then(r => done("
                + "r.violations.map(v => v.id + ' (' + v.impact + '): ' + v.help + ' at '"
                + " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(' | '))"
                + ".join('\\n')), e => done('axe failed: ' + e));"));
  }

  @Override
  public void close() {
    driver.quit();
    Shoots.delete(profile);
  }
}
