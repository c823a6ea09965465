package samelight.engine.sidecar;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.match.Recipe;

/** A recipe as properties of our own namespace. */
final class RecipeProperties {
  private static final PropertyName NEEDS_EYES = RecipeNamespace.name("NeedsEyes");

  private static final NumberStyle STOPS = new NumberStyle(3, true);
  private static final NumberStyle STOPS_SIGMA = new NumberStyle(3, false);
  private static final NumberStyle TENTHS = new NumberStyle(1, false);
  private static final NumberStyle MIRED = new NumberStyle(1, true);
  private static final NumberStyle DUV = new NumberStyle(5, true);

  private RecipeProperties() {}

  /** Name and text of each simple property; null where it is to be absent. */
  static Map<PropertyName, @Nullable String> texts(Recipe r) {
    Map<PropertyName, @Nullable String> out = new LinkedHashMap<>();
    out.put(RecipeNamespace.name("Section"), r.section());
    out.put(RecipeNamespace.name("Group"), r.group());
    out.put(RecipeNamespace.name("Reference"), r.reference());
    out.put(RecipeNamespace.name("StopsToReference"), STOPS.format(r.stopsToReference().stops()));
    out.put(RecipeNamespace.name("Exposure"), STOPS.format(r.exposure().stops()));
    out.put(RecipeNamespace.name("StopsSigma"), STOPS_SIGMA.format(r.stopsSigma().stops()));
    out.put(RecipeNamespace.name("MiredSigma"), TENTHS.format(r.miredSigma().value()));
    var kelvin = r.colourTemperature();
    out.put(
        RecipeNamespace.name("ColourTemperature"),
        kelvin == null ? null : TENTHS.format(kelvin.value()));
    var duv = r.duv();
    out.put(RecipeNamespace.name("Duv"), duv == null ? null : DUV.format(duv.value()));
    var mired = r.miredFromAsShot();
    out.put(
        RecipeNamespace.name("MiredFromAsShot"),
        mired == null ? null : MIRED.format(mired.value()));
    return out;
  }

  /** Sets, changes or removes the bag of reasons where it differs. */
  static boolean needsEyes(XmpPacket packet, XmpEditor editor, List<String> reasons)
      throws XmpRefusedException {
    XmpValue now = packet.value(NEEDS_EYES);
    List<String> current =
        now == null ? List.of() : now.items().stream().map(XmpValue::text).toList();
    if (current.equals(reasons) && (now == null) == reasons.isEmpty()) {
      return false;
    }
    if (reasons.isEmpty()) {
      editor.remove(NEEDS_EYES);
      return true;
    }
    StringBuilder bag = new StringBuilder("<slr:NeedsEyes><rdf:Bag>");
    for (String reason : reasons) {
      bag.append("<rdf:li>").append(XmlText.escapeText(reason)).append("</rdf:li>");
    }
    editor.setElement(NEEDS_EYES, bag + "</rdf:Bag></slr:NeedsEyes>", needed());
    return true;
  }

  /** Namespaces that our own elements need. */
  static Map<String, String> needed() {
    return Map.of(RecipeNamespace.PREFIX, RecipeNamespace.URI, "rdf", XmpValue.RDF);
  }

  static PropertyName needsEyesName() {
    return NEEDS_EYES;
  }
}
