package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What the review page's server refuses, asked byte by byte as no browser would ask: an HTTP client
 * would not let a test state a wrong Host (RFC 9110, 7.2).
 */
class ReviewServerTest {
  @TempDir static Path folder;

  private static ReviewServer server;
  private static String host;
  private static String cookie;
  private static String token;

  @BeforeAll
  static void start() throws IOException {
    Path shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
    server = ReviewServer.start(ReviewDesk.open(shoot, List.of()));
    host = URI.create(server.address()).getAuthority();
    cookie = key().headers().getOrDefault("set-cookie", "").split(";", 2)[0];
    token = Cli.json(get("/state", Map.of()).body()).path("token").asText();
  }

  @AfterAll
  static void end() {
    server.stop();
  }

  private record Answer(int status, Map<String, String> headers, String body) {}

  private static Answer key() throws IOException {
    URI uri = URI.create(server.address());
    return ask("GET", uri.getRawPath() + "?" + uri.getRawQuery(), Map.of("Host", host), "");
  }

  /** Asks as the page does, but for some headers; one that is empty is left out. */
  private static Answer get(String path, Map<String, String> other) throws IOException {
    return asPage("GET", path, other, "");
  }

  private static Answer post(Map<String, String> other, String body) throws IOException {
    return asPage("POST", "/undo", other, body);
  }

  private static Answer asPage(String method, String path, Map<String, String> other, String body)
      throws IOException {
    Map<String, String> headers = new TreeMap<>();
    headers.put("Host", host);
    headers.put("Cookie", String.valueOf(cookie));
    if (method.equals("POST")) {
      headers.put("Origin", "http://" + host);
      headers.put("X-Samelight-Token", token);
    }
    headers.putAll(other);
    headers.values().removeIf(String::isEmpty);
    return ask(method, path, headers, body);
  }

  private static Answer ask(String method, String path, Map<String, String> headers, String body)
      throws IOException {
    StringBuilder head = new StringBuilder(method + " " + path + " HTTP/1.1\r\n");
    headers.forEach((name, value) -> head.append(name).append(": ").append(value).append("\r\n"));
    byte[] bytes = body.getBytes(StandardCharsets.UTF_8);
    head.append("Connection: close\r\nContent-Length: ").append(bytes.length).append("\r\n\r\n");
    try (Socket socket =
        new Socket(InetAddress.getLoopbackAddress(), URI.create(server.address()).getPort())) {
      socket.getOutputStream().write(head.toString().getBytes(StandardCharsets.ISO_8859_1));
      socket.getOutputStream().write(bytes);
      socket.getOutputStream().flush();
      String all = new String(socket.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      String[] parts = all.split("\r\n\r\n", 2);
      Map<String, String> answered = new TreeMap<>(String.CASE_INSENSITIVE_ORDER);
      String[] lines = parts[0].split("\r\n", -1);
      for (int i = 1; i < lines.length; i++) {
        String[] pair = lines[i].split(": *", 2);
        answered.put(pair[0], pair[1]);
      }
      return new Answer(Integer.parseInt(lines[0].split(" ", 3)[1]), answered, parts[1]);
    }
  }

  @Test
  void request_ofThePage_isAnsweredWithTheHeadersThatCloseIt() throws IOException {
    Answer answer = get("/", Map.of());
    assertThat(answer.status()).isEqualTo(200);
    assertThat(answer.headers().get("content-security-policy"))
        .contains("default-src 'none'")
        .contains("script-src 'self'")
        .doesNotContain("unsafe");
    assertThat(answer.headers()).containsEntry("x-content-type-options", "nosniff");
    assertThat(answer.headers()).doesNotContainKey("access-control-allow-origin");
    assertThat(answer.body()).doesNotContain("<style").doesNotContain(token);
  }

  @Test
  void request_withoutTheKey_isForbidden() throws IOException {
    for (String path : List.of("/", "/state", "/group/0", "/picture/0/small/shot", "/review.js")) {
      assertThat(get(path, Map.of("Cookie", "")).status()).as(path).isEqualTo(403);
      assertThat(get(path, Map.of("Cookie", cookie + "x")).status()).as(path).isEqualTo(403);
    }
    assertThat(ask("GET", "/?key=wrong", Map.of("Host", host), "").status()).isEqualTo(403);
    assertThat(post(Map.of("Cookie", ""), "{}").status()).isEqualTo(403);
  }

  @Test
  void key_becomesACookieOfThisPortThatScriptsAndOtherSitesDoNotGet() throws IOException {
    Answer answer = key();
    assertThat(answer.status()).isEqualTo(303);
    assertThat(answer.headers()).containsEntry("location", "/");
    // one jar of cookies for all ports of a host (RFC 6265, 8.5): two reviews need two names
    assertThat(answer.headers().get("set-cookie"))
        .startsWith("samelight-review-" + URI.create(server.address()).getPort() + "=")
        .contains("HttpOnly")
        .contains("SameSite=Strict");
  }

  @Test
  void request_forAnotherHost_isForbidden() throws IOException {
    int port = URI.create(server.address()).getPort();
    for (String other : List.of("evil.example", "evil.example:" + port, "localhost:" + port)) {
      assertThat(get("/", Map.of("Host", other)).status()).as(other).isEqualTo(403);
    }
  }

  @Test
  void change_fromElsewhere_isForbidden() throws IOException {
    assertThat(post(Map.of("Origin", "http://evil.example"), "{}").status()).isEqualTo(403);
    assertThat(post(Map.of("Origin", "null"), "{}").status()).isEqualTo(403);
    assertThat(post(Map.of("Origin", ""), "{}").status()).isEqualTo(403);
    assertThat(post(Map.of("X-Samelight-Token", ""), "{}").status()).isEqualTo(403);
    assertThat(post(Map.of("X-Samelight-Token", token + "x"), "{}").status()).isEqualTo(403);
    assertThat(get("/undo", Map.of()).status()).isEqualTo(404);
    assertThat(asPage("DELETE", "/undo", Map.of(), "").status()).isEqualTo(405);
    // from the page itself, but of a plan that it doesn't show
    assertThat(post(Map.of(), "{}").status()).isEqualTo(409);
  }

  @Test
  void picture_byAnythingButANumberOfAFrame_isRefused() throws IOException {
    assertThat(get("/picture/0/small/shot", Map.of()).headers())
        .containsEntry("content-type", "image/jpeg");
    for (String number :
        List.of("-1", "99999", "x", "..%2f..%2fetc%2fpasswd", "2147483648", "%00")) {
      assertThat(get("/picture/" + number + "/small/shot", Map.of()).status())
          .as(number)
          .isIn(400, 404);
    }
    assertThat(get("/../samelight/plan.json", Map.of()).status()).isEqualTo(404);
  }

  @Test
  void request_largerThanEverNeeded_isRefused() throws IOException {
    assertThat(get("/" + "a".repeat(3_000), Map.of()).status()).isEqualTo(414);
    assertThat(post(Map.of(), " ".repeat((1 << 20) + 1)).status()).isEqualTo(413);
    assertThat(post(Map.of(), "[".repeat(1_000_000)).status()).isEqualTo(400);
    assertThat(post(Map.of(), "not JSON").status()).isEqualTo(400);
  }

  @Test
  void server_isBoundToLoopbackAlone() throws IOException {
    assertThat(URI.create(server.address()).getHost()).isEqualTo("127.0.0.1");
    InetAddress own = InetAddress.getLocalHost();
    if (!own.isLoopbackAddress()) {
      try (Socket socket = new Socket()) {
        org.assertj.core.api.Assertions.assertThatThrownBy(
                () ->
                    socket.connect(
                        new InetSocketAddress(own, URI.create(server.address()).getPort()), 2_000))
            .isInstanceOf(IOException.class);
      }
    }
  }
}
