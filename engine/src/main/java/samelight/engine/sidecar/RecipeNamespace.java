package samelight.engine.sidecar;

/** Our own namespace: names of the properties that a recipe is written as. */
public final class RecipeNamespace {
  /** Namespace URI. */
  public static final String URI = "http://ns.samelight.example/recipe/1.0/";

  /** Preferred prefix. */
  public static final String PREFIX = "slr";

  private RecipeNamespace() {}

  static PropertyName name(String property) {
    return new PropertyName(URI, property);
  }
}
