package samelight.engine.delivery;

import java.util.Set;
import java.util.TreeSet;

/** Names of the files that a gallery has beside its pictures. */
final class PageFiles {
  static final String INDEX = "index.html";
  static final String SHEET = "contact-sheet.pdf";

  /** Folder of the small pictures of the page. */
  static final String SMALL = "index-pictures";

  private PageFiles() {}

  /** Folder of the sizes for the web. */
  static String web(int side) {
    return "web " + side;
  }

  /** Name of the small picture of a picture with this hash. */
  static String small(String sha256) {
    return SMALL + "/" + sha256.substring(0, 24) + ".jpg";
  }

  /** Whether a name is one of the page's or the contact sheet's. */
  static boolean ofPage(String name) {
    return name.equals(INDEX) || name.equals(SHEET) || name.startsWith(SMALL + "/");
  }

  /** The folders of sizes for the web that a gallery has. */
  static Set<String> webOf(GalleryManifest manifest) {
    Set<String> folders = new TreeSet<>();
    for (String name : manifest.others().keySet()) {
      int slash = name.indexOf('/');
      if (slash > 0 && !ofPage(name)) {
        folders.add(name.substring(0, slash));
      }
    }
    return folders;
  }
}
