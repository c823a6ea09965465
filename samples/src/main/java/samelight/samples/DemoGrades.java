package samelight.samples;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Locale;

/**
 * Plays the photographer at the desk: grades each group's reference, exactly as the truth asks, and
 * saves the grade as the sidecar of a raw editor that does not exist.
 */
public final class DemoGrades {

  /** Namespace of the editor that does not exist. */
  public static final String EDITOR = "http://editor.example/ns/1.0/";

  private DemoGrades() {}

  /** The edit map that teaches its properties. */
  public static String editMap() {
    return """
        {
          "version": 1,
          "namespaces": ["%1$s"],
          "exposure": {"namespace": "%1$s", "property": "GainStops", "unit": "stops"},
          "cct": {"namespace": "%1$s", "property": "WhiteKelvin", "unit": "kelvin"},
          "stays": [{"namespace": "%1$s", "property": "FrameBox"}]
        }
        """
        .formatted(EDITOR);
  }

  /**
   * Writes a grade beside each reference of the shoot's plan.
   *
   * @return how many were written
   * @throws IOException if the plan cannot be read, names a frame that the truth does not know, or
   *     if a sidecar is there already
   */
  public static int write(Path shoot, Path truthFile) throws IOException {
    TruthFile truth = TruthFile.read(truthFile);
    Path plan = shoot.resolve("samelight").resolve("plan.json");
    JsonNode groups = new ObjectMapper().readTree(plan.toFile()).path("groups");
    int written = 0;
    for (JsonNode g : groups) {
      String reference = g.path("reference").asText();
      TruthFile.Frame f = truth.find(reference);
      if (f == null) {
        throw new IOException(
            "reference \""
                + reference
                + "\" of group "
                + g.path("id").asText()
                + " in "
                + plan
                + " is no frame of "
                + truthFile);
      }
      Path file = shoot.resolve(reference);
      String name = String.valueOf(file.getFileName());
      Path sidecar = file.resolveSibling(name.substring(0, name.lastIndexOf('.')) + ".xmp");
      Files.writeString(
          sidecar,
          sidecar(-f.gain(), f.kelvin()),
          StandardCharsets.UTF_8,
          StandardOpenOption.CREATE_NEW,
          StandardOpenOption.WRITE);
      written++;
    }
    return written;
  }

  static String sidecar(double stops, double kelvin) {
    return String.format(
        Locale.ROOT,
        """
        <?xml version="1.0" encoding="UTF-8"?>
        <x:xmpmeta xmlns:x="adobe:ns:meta/">
         <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
          <rdf:Description rdf:about="" xmlns:ed="%s"
            ed:GainStops="%+.3f" ed:WhiteKelvin="%.0f" ed:Grain="7" ed:FrameBox="0.05 0.1 0.95 0.9">
           <ed:Curve>
            <rdf:Seq>
             <rdf:li>0, 2</rdf:li>
             <rdf:li>120, 131</rdf:li>
             <rdf:li>255, 253</rdf:li>
            </rdf:Seq>
           </ed:Curve>
          </rdf:Description>
         </rdf:RDF>
        </x:xmpmeta>
        """,
        EDITOR,
        stops,
        kelvin);
  }
}
