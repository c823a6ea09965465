package samelight.samples;

import com.fasterxml.jackson.core.JsonEncoding;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.MinimalPrettyPrinter;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import samelight.samples.camera.Body;
import samelight.samples.day.Shot;
import samelight.samples.day.Trouble;
import samelight.samples.light.Chromaticity;
import samelight.samples.light.Krystek1985;

/** Writes the truth file as it goes, one frame to a line; brackets and companions come last. */
final class TruthWriter implements Closeable {

  private record Bracketed(Shot shot, String file, @Nullable String paired) {}

  private final JsonGenerator json;
  private final List<Bracketed> brackets = new ArrayList<>();
  private final List<String> companions = new ArrayList<>();

  TruthWriter(Path file, ShootOptions options, List<Body> bodies) throws IOException {
    json = new JsonFactory().createGenerator(Files.newOutputStream(file), JsonEncoding.UTF8);
    json.setPrettyPrinter(new MinimalPrettyPrinter("\n"));
    json.writeStartObject();
    json.writeNumberField("version", 1);
    json.writeNumberField("seed", options.seed());
    json.writeStringField("kind", options.kind().name().toLowerCase(Locale.ROOT));
    json.writeObjectFieldStart("bodies");
    for (Body b : bodies) {
      json.writeObjectFieldStart(b.id());
      json.writeNumberField("offset", b.clockOffset());
      json.writeNumberField("drift", b.clockDrift());
      json.writeNumberField("sens", b.sensitivityStops());
      json.writeStringField("make", b.maker());
      json.writeStringField("model", b.model());
      json.writeStringField("serial", b.serial());
      json.writeStringField("utcOffset", b.utcOffset());
      json.writeNumberField("slope", b.curve().slope());
      json.writeNumberField("autoWhiteMired", b.autoWhiteMired());
      json.writeNumberField("stepSixths", b.step());
      json.writeEndObject();
    }
    json.writeEndObject();
    json.writeArrayFieldStart("frames");
  }

  void frame(Shot s, String file, @Nullable String paired, @Nullable String companion)
      throws IOException {
    if (companion != null) {
      companions.add(companion);
    }
    if (s.bracket() == null) {
      frame(s, file, paired);
    } else {
      brackets.add(new Bracketed(s, file, paired));
    }
  }

  private void frame(Shot s, String file, @Nullable String paired) throws IOException {
    json.writeStartObject();
    json.writeStringField("file", file);
    if (paired != null) {
      json.writeStringField("paired", paired);
    }
    json.writeStringField("body", s.body().id());
    json.writeNumberField("real", s.day() * 7 * 86400.0 + s.seconds());
    json.writeStringField("scene", s.act());
    json.writeStringField("view", s.view());
    json.writeNumberField("framing", s.framing());
    json.writeNumberField("gain", s.gain());
    Chromaticity light = s.body().read(s.subject().white());
    json.writeNumberField("cct", Krystek1985.kelvin(light));
    json.writeNumberField("duv", Krystek1985.duv(light));
    json.writeNumberField("asshot", Krystek1985.kelvin(s.body().read(s.asShot().white())));
    json.writeBooleanField("flash", s.fired());
    json.writeBooleanField("flashed", s.flashed());
    json.writeNumberField("illum", s.ambientEv());
    json.writeNumberField("evset", s.exposure().ev100());
    json.writeStringField("lens", s.lens().name());
    if (s.bracket() != null) {
      json.writeNumberField("bracketStops", s.bracket() / 6.0);
    }
    json.writeArrayFieldStart("trouble");
    for (Trouble t : s.troubles()) {
      json.writeString(t.word());
    }
    json.writeEndArray();
    json.writeEndObject();
  }

  @Override
  public void close() throws IOException {
    json.writeEndArray();
    json.writeArrayFieldStart("brackets");
    for (Bracketed b : brackets) {
      frame(b.shot, b.file, b.paired);
    }
    json.writeEndArray();
    json.writeArrayFieldStart("companions");
    for (String c : companions) {
      json.writeString(c);
    }
    json.writeEndArray();
    json.writeEndObject();
    json.close();
  }
}
