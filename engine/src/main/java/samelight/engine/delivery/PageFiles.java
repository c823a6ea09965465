package samelight.engine.delivery;

import java.util.List;
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

  /** Which of them a delivery with these options has. */
  static Set<String> wanted(DeliverRequest.Options options, List<GalleryManifest.Line> lines) {
    Set<String> names = new TreeSet<>();
    if (options.page()) {
      names.add(INDEX);
      names.add(SHEET);
      names.add(SMALL);
    }
    if (options.web() > 0 && !lines.isEmpty()) {
      names.add(web(options.web()));
    }
    return names;
  }

  /** Which of them a gallery has. */
  static Set<String> have(GalleryManifest manifest) {
    Set<String> names = new TreeSet<>();
    for (String name : manifest.others().keySet()) {
      if (!name.startsWith("SHA256SUMS") && !name.equals(GalleryManifest.CSV)) {
        int slash = name.indexOf('/');
        names.add(slash < 0 ? name : name.substring(0, slash));
      }
    }
    return names;
  }
}
