package samelight.samples;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ResidualTest {

  @TempDir Path dir;

  private Path truth(String frames) throws IOException {
    return Files.writeString(
        dir.resolve("truth.json"), "{\"seed\":1,\"bodies\":{},\"frames\":[" + frames + "]}");
  }

  private static String frame(String file, double gain, double kelvin, String trouble) {
    return String.format(
        Locale.ROOT,
        "{\"file\":\"%s\",\"body\":\"A\",\"real\":1.0,\"scene\":\"s\",\"view\":\"s/v/ambient\","
            + "\"gain\":%s,\"cct\":%s,\"asshot\":5000,\"trouble\":[%s]}",
        file,
        gain,
        kelvin,
        trouble);
  }

  private void recipe(String frame, String reference, double stops, double kelvin, boolean eyes)
      throws IOException {
    Path file = dir.resolve("shoot").resolve(frame.substring(0, frame.lastIndexOf('.')) + ".xmp");
    Files.createDirectories(file.getParent());
    Files.writeString(
        file,
        String.format(
            Locale.ROOT,
            """
            <x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF
             xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about=""
             xmlns:slr="http://ns.samelight.example/recipe/1.0/" slr:Exposure="%+.3f"
             slr:StopsSigma="0.15" slr:MiredSigma="5.0">
             <slr:Reference>%s</slr:Reference><slr:ColourTemperature>%.0f</slr:ColourTemperature>
             %s</rdf:Description></rdf:RDF></x:xmpmeta>
            """,
            stops,
            reference,
            kelvin,
            eyes
                ? "<slr:NeedsEyes><rdf:Bag><rdf:li>mixed light</rdf:li></rdf:Bag></slr:NeedsEyes>"
                : ""));
  }

  @Test
  void of_workedByHand() throws Exception {
    Path truth =
        truth(
            String.join(
                ",",
                frame("a/R.DNG", 0.5, 5000, ""),
                frame("a/F1.DNG", 0.2, 5000, ""),
                frame("a/F2.DNG", 0.9, 4000, "\"lens\""),
                frame("a/F3.DNG", -1, 5000, ""),
                frame("a/F4.DNG", 0, 5000, "")));
    recipe("a/R.DNG", "a/R.DNG", -0.5, 5000, false);
    recipe("a/F1.DNG", "a/R.DNG", -0.3, 5000, false);
    recipe("a/F2.DNG", "a/R.DNG", -0.7, 4167, false);
    recipe("a/F3.DNG", "a/R.DNG", 0.5, 5000, true);
    Residual.Result r = Residual.of(dir.resolve("shoot"), truth);
    assertThat(r.frames()).isEqualTo(4);
    assertThat(r.references()).isEqualTo(1);
    assertThat(r.withoutRecipe()).containsExactly("a/F4.DNG");
    assertThat(r.broken()).isEmpty();
    assertThat(r.doubted()).isCloseTo(0.25, within(1e-9));
    // Residuals: F1 -0.1, F2 +0.2, F3 -0.5 (doubted).
    assertThat(r.rms()).isCloseTo(Math.sqrt((0.01 + 0.04) / 2), within(1e-9));
    assertThat(r.within()).isCloseTo(0.5, within(1e-9));
    assertThat(r.p95()).isCloseTo(0.2, within(1e-9));
    assertThat(r.rmsAll()).isCloseTo(Math.sqrt((0.01 + 0.04 + 0.25) / 3), within(1e-9));
    assertThat(r.copyRms()).isCloseTo(Math.sqrt((0.09 + 0.16 + 2.25) / 3), within(1e-9));
    assertThat(r.unseenMisses()).isZero();
    assertThat(r.miredP95()).isCloseTo(250 - 1e6 / 4167, within(1e-9));
    assertThat(r.copyMiredP95()).isCloseTo(50, within(1e-9));
    assertThat(r.oneSigma()).isCloseTo(1 / 3.0, within(1e-9));
    assertThat(r.twoSigma()).isCloseTo(2 / 3.0, within(1e-9));
    assertThat(r.miredOneSigma()).isCloseTo(2 / 3.0, within(1e-9));
    assertThat(r.miredTwoSigma()).isCloseTo(2 / 3.0, within(1e-9));

    StringWriter words = new StringWriter();
    Residual.print(dir.resolve("shoot"), truth, new PrintWriter(words));
    assertThat(words.toString())
        .contains("4 frames carry a recipe, from 1 graded references")
        .contains("1 frames have no recipe: a/F4.DNG")
        .contains("0.158 stop rms")
        .contains("lens");
  }

  @Test
  void of_missNotDoubted_isCounted() throws Exception {
    Path truth = truth(frame("R.JPG", 0, 5000, "") + "," + frame("F.JPG", 0.5, 5000, ""));
    recipe("R.JPG", "R.JPG", 0, 5000, false);
    recipe("F.JPG", "R.JPG", 0, 5000, false);
    Residual.Result r = Residual.of(dir.resolve("shoot"), truth);
    assertThat(r.unseenMisses()).isCloseTo(0.5, within(1e-9));
    assertThat(r.miredP95()).isNaN();
  }

  @Test
  void of_editorsPropertiesNotCarried_areNamed() throws Exception {
    Path truth = truth(frame("R.DNG", 0, 5000, "") + "," + frame("F.DNG", 0.5, 5000, ""));
    recipe("R.DNG", "R.DNG", 0, 5000, false);
    Path xmp = dir.resolve("shoot").resolve("F.xmp");
    Files.writeString(
        xmp,
        DemoGrades.sidecar(-0.3, 5000)
            .replace(
                "<ed:Curve>",
                "<slr:Exposure xmlns:slr='"
                    + Sidecar.RECIPE
                    + "'>-0.5</slr:Exposure><slr:Reference xmlns:slr='"
                    + Sidecar.RECIPE
                    + "'>R.DNG</slr:Reference><slr:ColourTemperature xmlns:slr='"
                    + Sidecar.RECIPE
                    + "'>5000</slr:ColourTemperature><ed:Curve>"));
    assertThat(Residual.of(dir.resolve("shoot"), truth).broken())
        .anyMatch(b -> b.contains("F.DNG: the editor's exposure -0.3 is not slr:Exposure -0.5"))
        .anyMatch(b -> b.contains("F.DNG: the reference's crop came along"));
  }

  @Test
  void of_malformedSidecar_namesIt() throws Exception {
    Path truth = truth(frame("R.JPG", 0, 5000, ""));
    recipe("R.JPG", "R.JPG", 0, 5000, false);
    Files.writeString(dir.resolve("shoot").resolve("R.xmp"), "<x:xmpmeta");
    assertThatThrownBy(() -> Residual.of(dir.resolve("shoot"), truth))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("R.xmp");
  }

  @Test
  void read_truthWithoutKey_namesIt() throws Exception {
    Path truth = truth("{\"file\":\"R.JPG\"}");
    assertThatThrownBy(() -> Residual.of(dir, truth))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("lacks \"body\"");
  }

  @Test
  void write_gradesEveryReferenceOnce() throws Exception {
    Path truth = truth(frame("a/R.DNG", 0.25, 4321, "") + "," + frame("b/S.JPG", -1, 5000, ""));
    Path shoot = dir.resolve("shoot");
    Files.createDirectories(shoot.resolve("samelight"));
    Files.createDirectories(shoot.resolve("a"));
    Files.createDirectories(shoot.resolve("b"));
    Files.writeString(
        shoot.resolve("samelight/plan.json"),
        "{\"groups\":[{\"id\":\"g1\",\"reference\":\"a/R.DNG\",\"frames\":[\"a/R.DNG\"]},"
            + "{\"id\":\"g2\",\"reference\":\"b/S.JPG\",\"frames\":[\"b/S.JPG\"]}]}");
    assertThat(DemoGrades.write(shoot, truth)).isEqualTo(2);
    Sidecar s = Sidecar.read(shoot.resolve("a/R.xmp"));
    assertThat(s.number(DemoGrades.EDITOR, "GainStops")).isEqualTo(-0.25);
    assertThat(s.number(DemoGrades.EDITOR, "WhiteKelvin")).isEqualTo(4321);
    assertThat(s.items(DemoGrades.EDITOR, "Curve"))
        .isEqualTo(List.of("0, 2", "120, 131", "255, 253"));
    assertThat(Files.exists(shoot.resolve("b/S.xmp"))).isTrue();
    assertThatThrownBy(() -> DemoGrades.write(shoot, truth))
        .isInstanceOf(java.nio.file.FileAlreadyExistsException.class);
  }
}
