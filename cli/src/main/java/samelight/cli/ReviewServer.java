package samelight.cli;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.time.Duration;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutorService;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.NamedThreads;

/**
 * Serves the review page to this computer alone: bound to the loopback address on a free port, for
 * whoever has the key that the printed address carries. The key becomes a cookie that scripts can't
 * read and other sites' requests don't carry; without it every answer is 403. {@code Host} and
 * {@code Origin} must be the server's own, so that a name that is pointed here reaches nothing;
 * changes are POSTs with a second key that only the page's own script is told. No path ever comes
 * from a request: pictures are asked for by the number of their frame.
 */
final class ReviewServer {
  private static final int MOST_BODY = 1 << 20;
  private static final int LONGEST_ADDRESS = 2_000;

  private static final String POLICY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self';"
          + " base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

  private final HttpServer server;
  private final ExecutorService workers;
  private final ReviewPages pages;
  private final String entry = key();
  private final String cookie = key();
  private final String token = key();
  private final String host;

  /** With the port in its name: browsers keep one jar of cookies for all ports of a host. */
  private final String cookieName;

  private volatile Runnable ended = () -> {};

  /**
   * An answer.
   *
   * @param type its media type
   */
  record Reply(int status, String type, Bytes body) {
    static Reply of(int status, String type, String text) {
      return new Reply(status, type, new Bytes(text.getBytes(StandardCharsets.UTF_8)));
    }

    static Reply text(int status, String text) {
      return of(status, "text/plain; charset=utf-8", text);
    }

    static Reply json(int status, Map<String, ? extends @Nullable Object> fields) {
      java.io.StringWriter out = new java.io.StringWriter();
      Json.write(out, fields);
      return of(status, "application/json", out.toString());
    }
  }

  /** Bytes of an answer. */
  static final class Bytes {
    private final byte[] bytes;

    Bytes(byte[] bytes) {
      this.bytes = bytes;
    }

    byte[] get() {
      return bytes.clone();
    }

    boolean same(Bytes other) {
      return Arrays.equals(bytes, other.bytes);
    }
  }

  private ReviewServer(
      HttpServer server,
      String title,
      CompletableFuture<ReviewDesk> desk,
      Supplier<byte @Nullable []> first) {
    this.server = server;
    this.host = "127.0.0.1:" + server.getAddress().getPort();
    this.cookieName = "samelight-review-" + server.getAddress().getPort();
    this.workers = NamedThreads.several("review", 6);
    byte[] page = first.get(); // last of all: it may still be being read
    this.pages = new ReviewPages(title, desk, token, page == null ? null : new Bytes(page));
  }

  /** Starts to serve a shoot that is open. */
  static ReviewServer start(ReviewDesk desk) throws IOException {
    return start(desk.paths().name(), CompletableFuture.completedFuture(desk), () -> null);
  }

  /**
   * Starts to serve.
   *
   * @param title the shoot's name
   * @param desk the shoot, which may be being opened
   * @param first gives what is shown until it is open, or null to let whoever asks wait
   */
  static ReviewServer start(
      String title, CompletableFuture<ReviewDesk> desk, Supplier<byte @Nullable []> first)
      throws IOException {
    // else every answer waits 40 ms for the other side's acknowledgement
    System.setProperty("sun.net.httpserver.nodelay", "true");
    InetAddress loopback = InetAddress.getByAddress(new byte[] {127, 0, 0, 1});
    HttpServer http = HttpServer.create(new InetSocketAddress(loopback, 0), 0);
    ReviewServer server = new ReviewServer(http, title, desk, first);
    http.createContext("/", server::handle);
    http.setExecutor(server.workers);
    http.start();
    server.workers.execute(server.pages::warm);
    return server;
  }

  /** The address to open, with its key. */
  String address() {
    return "http://" + host + "/?key=" + entry;
  }

  /** Waits until somebody looks at the page, but no longer than this. */
  void awaitLook(Duration most) throws InterruptedException {
    pages.awaitLook(most);
  }

  /** What to do once it has ended. */
  void whenEnded(Runnable then) {
    this.ended = then;
  }

  /** Ends; what is being decided is finished first. */
  void stop() {
    server.stop(0);
    workers.shutdown();
    ended.run();
  }

  private static String key() {
    byte[] bytes = new byte[24];
    new SecureRandom().nextBytes(bytes);
    return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
  }

  private void handle(HttpExchange exchange) throws IOException {
    try (exchange) {
      var headers = exchange.getResponseHeaders();
      headers.set("Content-Security-Policy", POLICY);
      headers.set("X-Content-Type-Options", "nosniff");
      headers.set("Referrer-Policy", "no-referrer");
      headers.set("Cross-Origin-Resource-Policy", "same-origin");
      headers.set("Cross-Origin-Opener-Policy", "same-origin");
      headers.set("Cache-Control", "no-store");
      Reply reply;
      try {
        reply = reply(exchange);
      } catch (RuntimeException e) {
        reply = Reply.text(500, "A bug in samelight: " + e);
      }
      headers.set("Content-Type", reply.type());
      byte[] body = reply.body().bytes;
      exchange.sendResponseHeaders(reply.status(), body.length == 0 ? -1 : body.length);
      if (body.length > 0) {
        exchange.getResponseBody().write(body);
      }
    }
  }

  private Reply reply(HttpExchange exchange) throws IOException {
    if (!host.equals(exchange.getRequestHeaders().getFirst("Host"))) {
      return Reply.text(403, "Not this computer's address.");
    }
    String origin = exchange.getRequestHeaders().getFirst("Origin");
    if (origin != null && !origin.equals("http://" + host)) {
      return Reply.text(403, "Not from another site.");
    }
    if (exchange.getRequestURI().toString().length() > LONGEST_ADDRESS) {
      return Reply.text(414, "Address too long.");
    }
    String path = exchange.getRequestURI().getPath();
    String query = Objects.requireNonNullElse(exchange.getRequestURI().getRawQuery(), "");
    String method = exchange.getRequestMethod();
    if (method.equals("GET") && path.equals("/") && query.startsWith("key=")) {
      if (!same(entry, query.substring(4))) {
        return Reply.text(403, "Open the address that samelight printed.");
      }
      exchange
          .getResponseHeaders()
          .set("Set-Cookie", cookieName + "=" + cookie + "; HttpOnly; SameSite=Strict; Path=/");
      exchange.getResponseHeaders().set("Location", "/");
      return Reply.text(303, "");
    }
    if (!known(exchange.getRequestHeaders().getOrDefault("Cookie", List.of()))) {
      return Reply.text(403, "Open the address that samelight printed.");
    }
    if (method.equals("GET")) {
      return pages.get(path);
    }
    if (!method.equals("POST")) {
      return Reply.text(405, "GET or POST.");
    }
    String given = exchange.getRequestHeaders().getFirst("X-Samelight-Token");
    if (origin == null || given == null || !same(token, given)) {
      return Reply.text(403, "Only from the page itself.");
    }
    byte[] body;
    try (InputStream in = exchange.getRequestBody()) {
      body = in.readNBytes(MOST_BODY + 1);
    }
    return body.length > MOST_BODY
        ? Reply.text(413, "More than is ever needed.")
        : pages.post(path, body);
  }

  private boolean known(List<String> cookies) {
    for (String line : cookies) {
      for (String one : line.split(";", -1)) {
        String[] pair = one.strip().split("=", 2);
        if (pair.length == 2 && pair[0].equals(cookieName) && same(cookie, pair[1])) {
          return true;
        }
      }
    }
    return false;
  }

  /** Compares in a time that doesn't depend on where they differ. */
  private static boolean same(String a, String b) {
    return MessageDigest.isEqual(
        a.getBytes(StandardCharsets.UTF_8), b.getBytes(StandardCharsets.UTF_8));
  }
}
